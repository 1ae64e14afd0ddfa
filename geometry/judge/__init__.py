"""Values, lines and verdicts of any number of variants as arrays; no sentence."""
