"""HTTP in, HTTP out. A view is a stack of declarations over a few lines; it never commits."""
