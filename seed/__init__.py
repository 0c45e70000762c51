"""The demo club: an invented valley, its people and stones, and the client that loads them over HTTP.

Nothing here imports the service. The loader speaks to it as any other program would, so it doubles as an
example of how to use the API.
"""
