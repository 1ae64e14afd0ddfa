"""The drawing in the window: what is shown, how it is looked at, and what the hand takes hold of in it."""
