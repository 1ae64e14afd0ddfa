"""The mechanics of a driveline on rows: arrays in, arrays out; knows no document, no verdict, no sentence."""
