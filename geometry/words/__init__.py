"""Sentences, remedies and set-points for the one build that is shown, and the whole answer."""
