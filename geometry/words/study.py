"""A build over ranges of its entries: every combination judged, and from where to where each finding is what."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.document import Build
from geometry.document.entries import variants
from geometry.judge.codes import CAUTION, HOLD, NOT_ASKED, UNKNOWN, WORDS, Codes, Found, Judged, Key, finding_id
from geometry.judge.judging import judge
from geometry.judge.limits import LIMITS, Limit
from geometry.judge.states import ENDS, lifts_by_springs
from geometry.mechanics.sag import SETTLING_MM
from geometry.mechanics.vectors import Floats
from geometry.words.finding import ORDER, title_of
from geometry.words.solution import BAD, Verdict
from geometry.words.solve import POSITIONS
from geometry.words.wording import length

MOST_ROWS = 100_000
"""Combinations that one study may have."""
_FINER, _ROUGH, _TURN = 8, 8, 88
"""Parts into which a step is cut once more where a verdict changes in it; steps at first; values in a turn."""
_COARSE, _CELLS = 4, 130
"""Cells of a map that one stands for at first, along each side; cells in a turn."""


@dataclass(frozen=True)
class Studied:
    """One finding over all combinations: value, lines and verdict, each (rows,)."""

    id: str
    part: str
    title: str
    limit: Limit
    judged: Judged


@dataclass(frozen=True)
class Study:
    """Every combination of the values, the last entry changing fastest; `columns` holds each entry's value, (rows,).

    `codes` is the verdict of the whole build (`geometry.judge.codes`), `decides` the place in `findings` of what decides
    it: the first in the order in which they are listed. `findings` leaves out what is asked nowhere.
    """

    columns: Mapping[str, Floats]
    codes: Codes
    decides: NDArray[np.intp]
    findings: tuple[Studied, ...]

    def count(self, code: np.uint8) -> NDArray[np.intp]:
        """How many findings have a verdict, (rows,).

        >>> bool((study(Build(), {"plan.rear_lift_mm": [0.0, 50.0]}).count(HOLD) == 0).all())
        True
        """
        none = np.zeros(self.codes.size, np.intp)
        return sum(((one.judged.verdict == code).astype(np.intp) for one in self.findings), none)

    def verdict(self, row: int) -> Verdict:
        """The whole build's verdict in one row, the word that `solve` gives."""
        return WORDS[self.codes.item(row)]  # type: ignore[return-value]


def study(build: Build, ranges: Mapping[str, ArrayLike]) -> Study:
    """Judge every combination of some values of some numeric entries, over the whole travel, as `solve` would.

    Parameters
    ----------
    build
        What the other entries are taken from.
    ranges
        For each dotted path its values, in the document's unit.

    Raises
    ------
    KeyError
        When a path names no numeric entry.
    ValueError
        When a range has no value, or there are more than `MOST_ROWS` combinations.

    Examples
    --------
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    >>> [study(build, {"axle.pinion_slope_deg": [3.5, 8.0]}).verdict(row) for row in (0, 1)]
    ['caution', 'hold']
    """
    values = [np.atleast_1d(np.asarray(some, np.float64)) for some in ranges.values()]
    rows = prod(some.size for some in values)
    if not values or not 1 <= rows <= MOST_ROWS:
        raise ValueError(f"a study has 1 to {MOST_ROWS:,} combinations, not {rows if values else 0:,}")
    grids = np.meshgrid(*values, indexing="ij")
    columns = {path: grid.ravel() for path, grid in zip(ranges, grids, strict=True)}
    return studied(build, columns, judge(variants(build, columns), positions=POSITIONS))


def studied(build: Build, columns: Mapping[str, Floats], found: Found) -> Study:
    """What was found of some rows, or a part of it that is not empty, in the order in which findings are listed."""
    asked = [key for key, one in found.items() if (one.verdict != NOT_ASKED).any()]
    asked.sort(key=lambda key: ORDER.index(finding_id(key)))
    codes = np.array([found[key].verdict for key in asked])
    return Study(
        columns, codes.max(axis=0), codes.argmax(axis=0), tuple(_finding(build, key, found[key]) for key in asked)
    )


def _finding(build: Build, key: Key, one: Judged) -> Studied:
    bad = bool((one.verdict >= CAUTION).any())
    return Studied(*key, title_of(build, key, bad=bad), LIMITS[finding_id(key)], one)


@dataclass(frozen=True)
class Stretch:
    """From where to where a verdict stays, in the entry's unit; `verdict` None where nothing is asked.

    `decides` is the title of what decides it, where it is the whole build's and not clear.
    """

    first: float
    last: float
    verdict: Verdict | None
    decides: str = ""


@dataclass(frozen=True)
class Band:
    """One finding over one entry's range."""

    id: str
    part: str
    title: str
    stretches: tuple[Stretch, ...]

    @property
    def bad(self) -> bool:
        """Whether it warns or holds anywhere, so that its title names the trouble."""
        return any(one.verdict in BAD for one in self.stretches)


@dataclass(frozen=True)
class Range:
    """A build over one entry: the whole, and every finding that is bad somewhere, what gets worst first on top.

    `clear` and `unknown` count those of the others that are that throughout, `partly` those that are clear as far as
    they can be judged. `says` tells why a lift of nought is judged unlike the least lift, where it is.
    """

    path: str
    whole: tuple[Stretch, ...]
    bands: tuple[Band, ...]
    clear: int
    partly: int
    unknown: int
    says: str = ""


def over_range(build: Build, path: str, first: float, last: float, *, steps: int = 200) -> Range:
    """Judge a build over one entry's range; where a verdict changes is known to an eighth of a step.

    Raises
    ------
    KeyError
        When the path names no numeric entry.
    ValueError
        When the range has no length, or `steps` is less than 1.

    Examples
    --------
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    >>> ends = next(band for band in over_range(build, "axle.pinion_slope_deg", 3.5, 9.5).bands if band.id == "ends_parallel")
    >>> [(round(one.last, 2), one.verdict) for one in ends.stretches]  # apart by 1° and by 3°
    [(4.5, 'clear'), (6.5, 'caution'), (9.5, 'hold')]
    """
    *_, whole = in_turns(build, path, first, last, steps=steps)
    return whole


def in_turns(build: Build, path: str, first: float, last: float, *, steps: int = 200) -> Iterator[Range]:
    """The same in turns that are short enough for a hand to go on: first roughly, each finer than the one before.

    >>> [len(turn.whole) for turn in in_turns(Build(), "plan.rear_lift_mm", 10.0, 50.0)]
    [1, 1, 1]
    """
    if not first < last or steps < 1:
        raise ValueError("a range goes from a lower to a higher value, in at least one step")
    values = np.linspace(first, last, steps + 1)
    rough = np.arange(steps + 1) % _ROUGH == 0
    rough[-1] = True
    some = _Judged.of(build, path, values[rough])
    yield some.told(build, path)
    rest = values[~rough]
    for part in np.array_split(rest, -(-rest.size // _TURN)) if rest.size else ():
        some = some.with_values(build, path, part)
        yield some.told(build, path)
    cut = some.turning
    if cut.size:
        inner = np.arange(1, _FINER) / _FINER
        between = some.values[cut, None] + (some.values[cut + 1] - some.values[cut])[:, None] * inner
        yield some.with_values(build, path, between.ravel()).told(build, path)


@dataclass(frozen=True)
class _Judged:
    """Values of one entry, growing, and what is found at them."""

    values: Floats
    found: Found

    @staticmethod
    def of(build: Build, path: str, values: Floats) -> "_Judged":
        return _Judged(values, judge(variants(build, {path: values}), positions=POSITIONS))

    def with_values(self, build: Build, path: str, more: Floats) -> "_Judged":
        other = _Judged.of(build, path, more)
        values = np.concatenate([self.values, more])
        order = values.argsort()
        found = {
            key: Judged(*(np.concatenate([one[column], other.found[key][column]])[order] for column in range(4)))
            for key, one in self.found.items()
        }
        return _Judged(values[order], found)

    @property
    def turning(self) -> NDArray[np.intp]:
        """Places behind which some verdict is another one."""
        codes = np.array([one.verdict for one in self.found.values()])
        return np.nonzero((codes[:, 1:] != codes[:, :-1]).any(axis=0))[0]

    def told(self, build: Build, path: str) -> Range:
        whole, jumps = studied(build, {path: self.values}, self.found), _jumps(build, path)
        bands = [_band(self.values, one, jumps=jumps) for one in whole.findings]
        said = [{one.verdict for one in band.stretches if one.verdict} for band in bands]
        told = [band for band, words in zip(bands, said, strict=True) if words & BAD]
        return Range(
            path,
            stretches_of(self.values, whole, jumps=jumps),
            tuple(sorted(told, key=_trouble)),
            clear=said.count({"clear"}),
            partly=said.count({"clear", "unknown"}),
            unknown=said.count({"unknown"}),
            says=self._settling(build) if jumps else "",
        )

    def _settling(self, build: Build) -> str:
        """Why nothing is like a lift of nought, where that turns a verdict."""
        nought = np.nonzero(self.values == 0.0)[0]
        if not np.isin((nought - 1, nought), self.turning).any():
            return ""
        usual = length(SETTLING_MM, build.display)
        return (
            f"At 0 nothing settles; any lift is judged with its new springs settled by {usual} too, as is usual. "
            "Enter how far they settle."
        )


def _jumps(build: Build, path: str) -> bool:
    """Whether an entry is a lift of which nought is unlike the least: new springs settle by the usual amount."""
    end, rows = next((one for one in ENDS if path == f"plan.{one}_lift_mm"), ""), variants(build)
    return bool(end) and lifts_by_springs(rows, end) and rows.absent(f"use.{end}_settling_mm")


def _stretches(values: Floats, codes: Codes, *, jumps: bool) -> tuple[Stretch, ...]:
    """Runs of equal codes; the border lies midway between the last value of one and the first of the next.

    Beside a nought at which what is judged jumps it lies at nought itself, which then may be a stretch alone.
    """
    changes = np.nonzero(codes[1:] != codes[:-1])[0]
    midway = (values[changes] + values[changes + 1]) / 2.0
    at_nought = jumps & ((values[changes] == 0.0) | (values[changes + 1] == 0.0))
    borders = [values[0], *np.where(at_nought, 0.0, midway), values[-1]]
    words: list[Verdict | None] = [WORDS[code] or None for code in codes[[0, *(changes + 1)]]]  # type: ignore[misc]
    return tuple(map(Stretch, map(float, borders), map(float, borders[1:]), words))


def _band(values: Floats, one: Studied, *, jumps: bool) -> Band:
    return Band(one.id, one.part, one.title, _stretches(values, one.judged.verdict, jumps=jumps))


def stretches_of(values: Floats, some: Study, *, jumps: bool = False) -> tuple[Stretch, ...]:
    """From where to where the whole is what over (rows,) growing values, each that is not clear with what decides it."""
    plain = _stretches(values, some.codes, jumps=jumps)
    runs = np.split(np.arange(values.size), np.nonzero(some.codes[1:] != some.codes[:-1])[0] + 1)
    return tuple(
        Stretch(one.first, one.last, one.verdict, _decides(some, plain, number, runs[number]))
        for number, one in enumerate(plain)
    )


def _decides(some: Study, stretches: Sequence[Stretch], number: int, inside: NDArray[np.intp]) -> str:
    """Title of what makes a stretch what it is: what is so where it borders on a better one, and for longest."""
    code = _code(stretches[number])
    if code < UNKNOWN:
        return ""
    verdicts = np.array([one.judged.verdict for one in some.findings])[:, inside] == code
    if number and _code(stretches[number - 1]) < code:
        there = verdicts[:, 0]
    elif number + 1 < len(stretches) and _code(stretches[number + 1]) < code:
        there = verdicts[:, -1]
    else:
        there = np.True_
    return some.findings[int(np.argmax(verdicts.sum(axis=1) * there))].title


def _code(one: Stretch) -> int:
    return WORDS.index(one.verdict or "")


def _trouble(band: Band) -> tuple[float, ...]:
    """Sorts first what holds soonest, then what warns soonest."""
    return tuple(next((one.first for one in band.stretches if _code(one) == code), np.inf) for code in (HOLD, CAUTION))


@dataclass(frozen=True)
class Map:
    """Verdicts of the whole build over two entries: `across` and `up` are their values, `codes` (up, across).

    `decides` are the titles of what decides it, (up, across), "" where it is clear; `exact` tells that every cell is
    judged, else some stand for their neighbours.
    """

    across: Floats
    up: Floats
    codes: Codes
    decides: NDArray[np.object_]
    exact: bool


def map_in_turns(
    build: Build, across: tuple[str, float, float], up: tuple[str, float, float], *, cells: int = 40
) -> Iterator[Map]:
    """Judge a build over two entries, each with its path and range: roughly first, then row after row.

    Raises
    ------
    KeyError
        When a path names no numeric entry.
    ValueError
        When a range has no length, the two entries are one, or there are fewer than `_COARSE` cells.

    Examples
    --------
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    >>> *_, found = map_in_turns(build, ("axle.pinion_slope_deg", 2.5, 9.5), ("powertrain.slope_deg", 3.5, 4.5), cells=4)
    >>> [WORDS[code] for code in found.codes[0]]
    ['caution', 'caution', 'caution', 'hold', 'hold']
    """
    paths = across[0], up[0]
    if paths[0] == paths[1] or not (across[1] < across[2] and up[1] < up[2]) or cells < _COARSE:
        raise ValueError("a map is of two entries, each from a lower to a higher value")
    xs, ys = (np.linspace(first, last, cells + 1) for _, first, last in (across, up))
    near = np.arange(cells + 1) // _COARSE * _COARSE
    rough = study(build, {paths[1]: ys[::_COARSE], paths[0]: xs[::_COARSE]})
    size = len(ys[::_COARSE]), len(xs[::_COARSE])
    at = np.ix_(near // _COARSE, near // _COARSE)
    codes, decides = rough.codes.reshape(size)[at], _titles(rough).reshape(size)[at]
    yield Map(xs, ys, codes.copy(), decides.copy(), exact=False)
    rows = max(_CELLS // (cells + 1), 1)
    for first in range(0, cells + 1, rows):
        some = slice(first, first + rows)
        fine = study(build, {paths[1]: ys[some], paths[0]: xs})
        codes[some], decides[some] = fine.codes.reshape(-1, cells + 1), _titles(fine).reshape(-1, cells + 1)
        yield Map(xs, ys, codes.copy(), decides.copy(), exact=first + rows > cells)


def _titles(some: Study) -> NDArray[np.object_]:
    titles = np.array([one.title for one in some.findings], np.object_)
    return np.where(some.codes >= UNKNOWN, titles[some.decides], "")
