"""The desktop window, the command line and everything that shows: imports geometry, never the other way round."""
