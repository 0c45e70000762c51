"""Pure computation: values in, values out. No clock, no files, no session, no HTTP."""
