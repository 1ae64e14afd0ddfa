"""The rungs on which a page may be filled, from comfortable to full, and the search for the first that fits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

from app.sheet.findings import Bases, Telling

Fit = TypeVar("Fit")


@dataclass(frozen=True, slots=True)
class Rung:
    """One way to fill the page: how findings are told, the least drawing, the rows of set-points, lines of notes."""

    telling: Telling
    drawing: float
    row: float
    notes: int
    wide: bool = True
    """Whether the drawing runs over the whole page, or over two of its three columns."""
    perches: bool = True


_WHOLE: Final = (
    Rung(Telling(8.0, 7.0), 225.0, 19.0, 6),
    Rung(Telling(7.6, 7.0), 210.0, 18.5, 6),
    Rung(Telling(7.6, 7.0), 195.0, 18.0, 5, wide=False),
    Rung(Telling(7.3, 6.8), 190.0, 17.5, 4, wide=False),
    Rung(Telling(7.0, 6.6), 180.0, 17.0, 3, wide=False),
    Rung(Telling(6.8, 6.5, run_in=True), 175.0, 16.5, 2, wide=False),
    Rung(Telling(7.0, 6.7, rows=False, basis="kind", run_in=True), 175.0, 16.5, 2, wide=False),
    Rung(Telling(6.8, 6.5, rows=False, basis="kind", run_in=True), 170.0, 16.0, 2, wide=False),
    Rung(Telling(6.5, 6.5, rows=False, basis="kind", run_in=True), 165.0, 15.5, 2, wide=False),
    Rung(Telling(6.5, 6.5, rows=False, basis="kind", run_in=True), 150.0, 15.0, 2, wide=False),
    Rung(Telling(6.5, 6.5, rows=False, basis="kind", run_in=True, limits=False), 140.0, 14.5, 1, wide=False,
         perches=False),
)  # fmt: skip
"""Every finding is told: first the type gets smaller, then clear ones are run together and bases told by kind, at the
end the drawing is the least and limits stand in the sentences alone."""


def _full(
    size: float, drawing: float, row: float, *, clear: int = 0, unknown: int = 0, ways: bool = True,
    basis: bool = True, titles: bool = True,
) -> Rung:  # fmt: skip
    kinds: Bases = "kind" if basis else "none"
    telling = Telling(
        size, size, rows=False, clear=clear, unknown=unknown, basis=kinds, ways=ways, run_in=True, titles=titles,
        limits=False,
    )  # fmt: skip
    return Rung(telling, drawing, row, 1, wide=False, perches=False)


_SENTENCES_ALONE: Final = (
    _full(6.5, 140.0, 13.5, ways=False),
    _full(6.5, 135.0, 12.5, ways=False, basis=False, titles=False),
    # Below the readable floor only where even that does not hold every sentence, as a hundred obstacles might ask.
    *(_full(size, 130.0, 12.5, ways=False, basis=False, titles=False) for size in (6.0, 5.5, 5.0, 4.5, 4.0)),
)
"""Clear and unknown findings counted; ways out go next, and the sentences of what holds or warns never."""


def rungs(clear: int, unknown: int) -> tuple[Rung, ...]:
    """The whole ladder for so many clear and unknown entries: between its ends they are given up, clear ones first."""
    fewer = [_full(6.5, 140.0, 14.0, clear=kept, unknown=unknown) for kept in range(clear - 1, -1, -1)]
    fewer += [_full(6.5, 140.0, 14.0, unknown=kept) for kept in range(unknown - 1, -1, -1)]
    return (*_WHOLE, *fewer, *_SENTENCES_ALONE)


def first_fit(ladder: Sequence[Rung], fit: Callable[[Rung], Fit | None]) -> Fit | None:
    """What fits on the first rung that holds everything; None where none does.

    Each rung takes less room than the one before, so the ladder is halved and not climbed.
    """
    best: Fit | None = None
    low, high = 0, len(ladder)
    while low < high:
        middle = (low + high) // 2
        made = fit(ladder[middle])
        if made is None:
            low = middle + 1
        else:
            best, high = made, middle
    return best
