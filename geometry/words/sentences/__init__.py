"""One sentence for every finding and verdict; unknown ones say what they want."""
