"""The findings of a block as they come, then all judged: in one go for few rows, one after another for many."""

from collections.abc import Callable, Iterator
from math import isinf
from typing import Any, NamedTuple

import numpy as np

from geometry.judge.codes import NOT_ASKED, Codes, Judged, Key, codes, settled, turned
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

        `others` are values that what is not entered leaves open: the verdict is unknown where they would turn it. Of
        parts that all come to pass the worst is one such value, never each: a clear one would unsettle a sure hold.
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
        """All findings in line, behind them their other values."""
        size, several, starts = len(rows), list[int](), list[int]()
        values, clear, hold = np.empty((3, count, self.rows))
        ways, asked = [row.way for row in rows], np.ones((size, self.rows), np.bool_)
        for finding, row in enumerate(rows):
            values[finding], clear[finding], hold[finding] = row.value, row.clear, row.hold
            if row.others:
                several.append(finding)
                starts.append(len(ways) - size)
            for other in row.others:
                place = len(ways)
                values[place], clear[place], hold[place] = other, row.clear, row.hold
                ways.append(row.way)
            if row.asked is not None:
                asked[finding] = row.asked
        code = codes(np.array(ways)[:, None], values, clear, hold)
        verdict = code[:size]
        if several:
            first = verdict[several]
            best, worst = (how.reduceat(code[size:], starts, axis=0) for how in (np.minimum, np.maximum))
            verdict[several] = turned(first, np.minimum(first, best), np.maximum(first, worst))
        for finding, row in enumerate(rows):
            if row.turned is not None:
                verdict[finding] = row.turned(verdict[finding])
        verdict *= asked  # what is not asked is nil
        return dict(zip(self._found, map(Judged, values, clear, hold, verdict), strict=False))

    def _one_by_one(self, rows: list[_Row]) -> Iterator[tuple[Floats, Floats, Floats, Codes]]:
        for row in rows:
            several = [codes(number(row.way), one, row.clear, row.hold) for one in (row.value, *row.others)]
            yield row.value, row.clear, row.hold, settled(*several) if len(several) > 1 else several[0]

    def _wide(self, part: Any) -> Any:
        return part if part.shape == (self.rows,) else np.broadcast_to(part, self.rows)
