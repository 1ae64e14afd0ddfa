"""Values, lines and verdicts of any number of variants as arrays; no sentence."""

from geometry.judge.judging import judge

__all__ = ["judge"]
