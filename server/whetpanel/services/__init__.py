"""What members do: one verb a file, one call one transaction. Nobody else commits."""
