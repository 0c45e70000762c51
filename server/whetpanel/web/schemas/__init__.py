"""What comes in and goes out, written out by hand: the contract is ours, not the tables'."""
