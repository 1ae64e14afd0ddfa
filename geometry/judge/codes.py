"""How verdicts are made: the only place where a value meets its lines."""

from collections.abc import Mapping
from functools import cache, reduce
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.mechanics.vectors import Floats

Codes: TypeAlias = NDArray[np.uint8]
NOT_ASKED, CLEAR, UNKNOWN, CAUTION, HOLD = (np.uint8(code) for code in range(5))
"""The verdicts, so that the worst of several is the greatest."""
WORDS = ("", "clear", "unknown", "caution", "hold")
"""A verdict's word by its code."""
_ON_THE_LINE = 1e-12
"""Share of a line within which a value counts as on it: the same rows in other blocks may differ in the last bits."""
Key: TypeAlias = tuple[str, str]
"""A finding and the part that it is about."""


class Judged(NamedTuple):
    """One finding over all variants, each (rows,); what is one for all rows is a view of that one number."""

    value: Floats
    clear: Floats
    hold: Floats
    verdict: Codes


Found: TypeAlias = Mapping[Key, Judged]


def codes(way: Floats, value: Floats, clear: Floats, hold: Floats) -> Codes:
    """Verdicts on values against their lines; `way` is 1 where a value must stay below them, −1 above.

    nan in value or line is unknown. A value on its line, to within the last bits, counts as inside.

    >>> codes(np.array(1.0), np.array([0.5, 1.0, 2.0, 3.5, np.nan]), np.array(1.0), np.array(3.0)).tolist()
    [1, 1, 3, 4, 2]
    """
    value, clear, hold = way * value, way * clear, way * hold
    # The same rows in other blocks may differ in the last bits; infinite lines stay as they are.
    clear, hold = (np.maximum(line * (1.0 - _ON_THE_LINE), line * (1.0 + _ON_THE_LINE)) for line in (clear, hold))
    lost = np.isnan(value + clear) | np.isnan(hold)
    beyond = (value > clear) & ~lost
    # Steps summed up, as np.where of codes takes several times as long.
    return CLEAR + lost + (CAUTION - CLEAR) * beyond + (beyond & (value > hold))


def settled(first: Codes, *others: Codes) -> Codes:
    """The first verdict where what is not entered cannot turn it, else unknown.

    It turns where some are clear and others are not, or where a caution may be a hold; a hold that may be less stays.

    >>> settled(np.array([1, 1, 4, 4, 3], np.uint8), np.array([1, 2, 1, 3, 4], np.uint8)).tolist()
    [1, 2, 2, 4, 2]
    """
    return turned(first, *(reduce(how, others, first) for how in (np.minimum, np.maximum)))


def turned(first: Codes, best: Codes, worst: Codes) -> Codes:
    """The same, from the best and the worst of all the verdicts."""
    turns = (best == CLEAR) & (worst != CLEAR) | (first == CAUTION) & (worst == HOLD)
    return np.where(turns, UNKNOWN, first)


@cache
def finding_id(key: Key) -> str:
    """Row of the limits table that a finding is judged by: its id without the number that tells obstacles apart."""
    head, _, number = key[0].rpartition("_")
    return head if number.isdecimal() else key[0]
