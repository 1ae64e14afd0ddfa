"""How well gauge or tape know a value, said behind what a finding says of it."""

import numpy as np

from geometry.judge.codes import HOLD, WORDS, codes
from geometry.mechanics.vectors import Floats, number
from geometry.words.one import One


def known_within(one: One, band: Floats, tool: str) -> str:
    """Say within what gauge or tape know the value, and whether that alone could turn the verdict; else nothing.

    What is clear is said to be doubtful only where it could be a hold.
    """
    within = one.number(band)
    if within is None or one.value is None or one.clear is None:
        return ""
    says = f"; your {tool} knows it within {one.text(within)}"
    ends = np.array([max(one.value - within, 0.0), one.value + within])
    way = number(1.0 if one.row.sense == "most" else -1.0)
    found = codes(way, ends, number(one.clear), number(one.row.hold if one.hold is None else one.hold))
    others = [WORDS[code] for code in found if WORDS[code] != one.verdict and (one.verdict != "clear" or code == HOLD)]
    turns = f", which could make it {' or '.join(dict.fromkeys(others))}: read it again" if others else ""
    return f"{says}{turns}"
