"""The only room that knows SQL. Rows stay in here and in services; values leave."""
