"""The findings of a block as they come, then all judged: in one go for few rows, one after another for many."""

from collections.abc import Callable, Iterator
from math import isinf
from typing import Any, NamedTuple

import numpy as np

from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, UNKNOWN, Codes, Judged, Key, codes, settled
from geometry.judge.limits import LIMITS
from geometry.mechanics.vectors import ONE, Bools, Floats, number

STACKED = 16_384
"""Up to so many numbers all findings are judged in one go; beyond, one after another, which stays in the cache."""
_WAY = {limit_id: 1.0 if row.sense == "most" else -1.0 for limit_id, row in LIMITS.items()}
_ENDLESS = {limit_id: number(row.hold) for limit_id, row in LIMITS.items() if isinf(row.hold)}
"""Lines that are never scaled: nothing of an infinite one would be nan."""


class _Row(NamedTuple):
    way: float
    value: Floats
    others: tuple[Floats, ...]
    clear: Floats
    hold: Floats
    asked: Bools | None
    turned: Callable[[Codes], Codes] | None


class Table:
    """Values and lines of findings, by finding and part, for so many rows."""

    def __init__(self, rows: int) -> None:
        self.rows = rows
        self._found: dict[Key, _Row] = {}

    def add(
        self,
        limit_id: str,
        part: str,
        value: Floats,
        *,
        scale: Floats = ONE,
        clear: Floats | None = None,
        hold: Floats | None = None,
        others: tuple[Floats, ...] = (),
        asked: Bools | None = None,
        turned: Callable[[Codes], Codes] | None = None,
        suffix: str = "",
    ) -> None:
        """Put down a finding: its value, and its lines, of the limits table times `scale` where not given.

        `others` are values that what is not entered leaves open: the verdict is unknown where they would turn it.
        `asked` are the rows that the finding is about; `turned` has the last word on the verdict.
        """
        row = LIMITS[limit_id]
        low = row.clear * scale if clear is None else clear
        high = hold
        if high is None:
            high = _ENDLESS[limit_id] if limit_id in _ENDLESS else row.hold * scale
        self._found[limit_id + suffix, part] = _Row(_WAY[limit_id], value, others, low, high, asked, turned)

    def judged(self) -> dict[Key, Judged]:
        """All findings with their verdicts."""
        rows = list(self._found.values())
        count = sum(1 + len(row.others) for row in rows)
        if count * self.rows <= STACKED:
            return self._stacked(rows, count)
        found = {}
        for (key, row), (value, clear, hold, verdict) in zip(self._found.items(), self._one_by_one(rows), strict=True):
            if row.turned is not None:
                verdict = row.turned(verdict)  # noqa: PLW2901
            if row.asked is not None:
                verdict = np.where(row.asked, verdict, NOT_ASKED)  # noqa: PLW2901
            found[key] = Judged(self._wide(value), self._wide(clear), self._wide(hold), self._wide(verdict))
        return found

    def _stacked(self, rows: list[_Row], count: int) -> dict[Key, Judged]:
        values, clear, hold = numbers = np.empty((3, count, self.rows))
        ways, firsts, asked = list[float](), list[int](), np.ones((len(rows), self.rows), np.bool_)
        for finding, row in enumerate(rows):
            place = len(ways)
            firsts.append(place)
            values[place], clear[place], hold[place] = row.value, row.clear, row.hold
            ways.append(row.way)
            for other in row.others:
                place = len(ways)
                values[place], clear[place], hold[place] = other, clear[firsts[-1]], hold[firsts[-1]]
                ways.append(row.way)
            if row.asked is not None:
                asked[finding] = row.asked
        code = codes(np.array(ways)[:, None], *numbers)
        # As `settled`, for all findings at once: a finding's verdict and those of its other values stand in line.
        is_clear = code == CLEAR
        some, every = (how.reduceat(is_clear, firsts, axis=0) for how in (np.logical_or, np.logical_and))
        holds, first = np.logical_or.reduceat(code == HOLD, firsts, axis=0), code[firsts]
        verdict = np.where(some & ~every | holds & (first == CAUTION), UNKNOWN, first)
        for finding, row in enumerate(rows):
            if row.turned is not None:
                verdict[finding] = row.turned(verdict[finding])
        verdict = np.where(asked, verdict, NOT_ASKED)
        columns = values[firsts], clear[firsts], hold[firsts], verdict
        return dict(zip(self._found, map(Judged, *columns), strict=True))

    def _one_by_one(self, rows: list[_Row]) -> Iterator[tuple[Floats, Floats, Floats, Codes]]:
        for row in rows:
            several = [codes(number(row.way), one, row.clear, row.hold) for one in (row.value, *row.others)]
            yield row.value, row.clear, row.hold, settled(*several) if len(several) > 1 else several[0]

    def _wide(self, part: Any) -> Any:
        return part if part.shape == (self.rows,) else np.broadcast_to(part, self.rows)
