"""The answer: verdict with its counts, findings as numbered in the drawing, the chosen one in full, set-points."""
