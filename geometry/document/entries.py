"""Entries of a build as a flat mapping, so that any numeric entry may differ from variant to variant.

Only the corners of an obstacle are one for all: its outline is a shape, not a number.

This is the only place where the document and the rows meet. A number stands under its dotted path, the parts of a point
under its path and .0, .1, .2. What is a word, a yes or a no, or a count is one for all variants.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple, cast, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pydantic import BaseModel

from geometry.document.build import Build, edited
from geometry.document.quantity import Section
from geometry.document.sides import SECOND, unplanned

Column = NDArray[np.float64]
"""One number for all variants, or one for each."""
_PLANS = ("plan.", f"{SECOND}plan.")
_ITEM = re.compile(r"\.\d+(?=\.|$)")
_NOT_ENTERED = cast("Column", np.float64(np.nan))


class _Number(NamedTuple):
    """What the document says of a number: its unit, "" where it has none, and the least and most that it takes."""

    unit: str
    least: float
    most: float


@cache
def numeric_paths() -> frozenset[str]:
    """Dotted paths of all numeric entries, a list's items under ``*`` and a point's parts under ``.0`` and so on.

    >>> {"axle.pinion_slope_deg", "shaft.bearing_mm.2", "powertrain.gear_ratios.*"} <= numeric_paths()
    True
    """
    return frozenset(_declared())


@cache
def _declared() -> dict[str, _Number]:
    """Each numeric entry as it is declared."""
    return dict(_numeric(Build, ""))


def unit_of(path: str) -> str:
    """The unit that a numeric entry is kept in, that of the whole point for a part of one; "" where it has none.

    >>> unit_of("axle.centre_mm.2"), unit_of("powertrain.slope_deg"), unit_of("powertrain.gear_ratios.0")
    ('mm', 'deg', '')
    >>> unit_of("shocks.1.axle_point_mm.2"), unit_of("shocks.0.extended_mm")
    ('mm', 'mm')

    Raises
    ------
    KeyError
        When the path names no numeric entry.
    """
    return _of(path).unit


def range_of(path: str) -> tuple[float, float]:
    """The least and the most that a numeric entry takes; the least itself may be refused, as a ratio's is.

    >>> range_of("plan.mount_shim_mm"), range_of("axle.centre_mm.2"), range_of("shaft.slip.engaged_mm")
    ((-300.0, 300.0), (-20000.0, 20000.0), (0.0, 1000.0))

    Raises
    ------
    KeyError
        When the path names no numeric entry.
    """
    return _of(path)[1:]


@cache
def _of(path: str) -> _Number:
    declared, (head, _, last) = _declared(), path.rpartition(".")
    of_point, of_list = f"{_ITEM.sub('.*', head)}.{last}", _ITEM.sub(".*", path)
    return declared[next((one for one in (path, of_point) if one in declared), of_list)]


def _numeric(model: Any, prefix: str) -> Iterator[tuple[str, _Number]]:
    for name, field in model.model_fields.items():
        extra = field.json_schema_extra
        unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
        for path, inner in _numeric_in(field.annotation, f"{prefix}{name}", field.metadata):
            yield path, inner._replace(unit=inner.unit or unit)


def _numeric_in(kind: Any, path: str, says: Sequence[Any]) -> Iterator[tuple[str, _Number]]:
    """Numbers in a type; `says` is what is said of its range."""
    if kind is float:
        yield path, _Number("", _said(says, "ge", "gt"), _said(says, "le"))
    elif isinstance(kind, type) and issubclass(kind, BaseModel):
        yield from _numeric(kind, f"{path}.")
    elif path.endswith(".outline_mm"):
        return
    elif getattr(kind, "__origin__", None) is tuple:
        parts = get_args(kind)
        for number, part in enumerate(parts):
            if part is not Ellipsis:
                yield from _numeric_in(part, f"{path}.{'*' if parts[-1] is Ellipsis else number}", ())
    else:
        own = [one for field in getattr(kind, "__metadata__", ()) for one in field.metadata]
        for part in get_args(kind):
            if not isinstance(part, (str, bool, int)):
                yield from _numeric_in(part, path, own or says)


def _said(says: Sequence[Any], *names: str) -> float:
    """What is said of one end of a range, under either of its names."""
    return float(next(getattr(one, name) for one in says for name in names if hasattr(one, name)))


@cache
def _in_lists() -> re.Pattern[str]:
    """Paths that run through an item of a list."""
    listed = (re.escape(path).replace(r"\*", r"\d+") for path in numeric_paths() if "*" in path)
    return re.compile("|".join(listed))


def is_numeric(path: str) -> bool:
    """Whether a dotted path names a numeric entry, in a list by its number.

    >>> is_numeric("powertrain.gear_ratios.0"), is_numeric("axle.centre_mm.2"), is_numeric("title")
    (True, True, False)
    """
    return path in numeric_paths() or _in_lists().fullmatch(path) is not None


class _Numbers(dict[str, Column]):
    """Numbers by path; an entry of the document that is not entered is nan, anything else a KeyError."""

    def __missing__(self, path: str) -> Column:
        if not is_numeric(path):
            raise KeyError(path)
        self[path] = _NOT_ENTERED
        return _NOT_ENTERED


@dataclass(frozen=True, slots=True)
class Variants:
    """Builds that differ in the columns given; `rows` is how many, 1 where there is no column."""

    build: Build
    numbers: Mapping[str, Column]
    words: Mapping[str, Any]
    columns: tuple[str, ...]
    rows: int

    def __getitem__(self, path: str) -> Column:
        """The entry at a dotted path: one number or (rows,), nan where it is not entered."""
        return self.numbers[path]

    def given(self, path: str, otherwise: float) -> Column:
        """The entry, with another number where it is not entered."""
        value = self.numbers[path]
        if value.ndim:
            return np.where(np.isnan(value), otherwise, value)
        return cast("Column", np.float64(otherwise)) if value != value else value  # noqa: PLR0124  nan is not itself

    def absent(self, path: str) -> bool:
        """Whether the entry is entered in no variant at all."""
        value = self.numbers[path]
        return not value.ndim and bool(np.isnan(value))

    def word(self, path: str, otherwise: Any = None) -> Any:
        """A word, a yes or no, or the count of a list; `otherwise` where it is not there."""
        return self.words.get(path, otherwise)

    def part(self, rows: slice) -> "Variants":
        """Some of the variants."""
        some = _Numbers(self.numbers)
        for path in self.columns:
            some[path] = self.numbers[path][rows]
        first, last, _ = rows.indices(self.rows)
        return Variants(self.build, some, self.words, self.columns, last - first)

    def blocks(self, rows: int) -> Iterator[tuple[slice, "Variants"]]:
        """The variants so many at a time, each with where it stands in the whole."""
        if rows >= self.rows:
            yield slice(0, self.rows), self
            return
        for first in range(0, self.rows, rows):
            part = slice(first, min(first + rows, self.rows))
            yield part, self.part(part)

    def with_columns(self, columns: Mapping[str, Column]) -> "Variants":
        """The same variants with some entries set otherwise, each to one number or (rows,)."""
        numbers = _Numbers(self.numbers)
        numbers.update(columns)
        wide = tuple(path for path, column in columns.items() if np.ndim(column))
        kept = tuple(path for path in self.columns if path not in columns)
        return Variants(self.build, numbers, self.words, (*kept, *wide), self.rows)

    def stacked(self, cases: Sequence[Mapping[str, Column]]) -> "Variants":
        """The same variants once for each case, one case behind another, with the entries of the case set otherwise."""
        if len(cases) == 1:
            return self.with_columns(cases[0])
        paths = dict.fromkeys((*self.columns, *(path for case in cases for path in case)))
        columns = {
            path: np.concatenate([np.broadcast_to(case.get(path, self[path]), self.rows) for case in cases])
            for path in paths
        }
        return self.widened(columns)

    def repeated(self, times: int) -> "Variants":
        """The same variants so many times, one after another."""
        if self.columns:
            return self.widened({path: np.tile(np.broadcast_to(self[path], self.rows), times) for path in self.columns})
        return Variants(self.build, self.numbers, self.words, (), self.rows * times)

    def widened(self, columns: Mapping[str, Column]) -> "Variants":
        """As many variants as these columns have rows, alike in all else; every column that there is must be among them."""
        numbers = _Numbers(self.numbers)
        numbers.update(columns)
        return Variants(self.build, numbers, self.words, tuple(columns), next(iter(columns.values())).size)

    def unplanned(self) -> "Variants":
        """The vehicle without its plan, one for all variants.

        >>> variants(Build()).unplanned().rows
        1
        """
        build = unplanned(self.build)
        numbers = {path: one for path, one in self.numbers.items() if not path.startswith(_PLANS)}
        words = {path: one for path, one in self.words.items() if not path.startswith(_PLANS)}
        return Variants(build, _Numbers(numbers), words, (), 1)

    def build_at(self, row: int) -> Build:
        """The build of one row, as a document.

        Raises
        ------
        pydantic.ValidationError
            When the build of that row is not possible.
        """
        changes: dict[str, object] = {}
        for path in self.columns:
            head, _, last = path.rpartition(".")
            if not last.isdecimal():
                changes[path] = self._entry(path, row)
            elif head not in changes:
                count = self.words.get(head) or sum(f"{head}.{number}" in numeric_paths() for number in range(3))
                parts = [self._entry(f"{head}.{number}", row) for number in range(count)]
                changes[head] = None if None in parts else tuple(parts)
        return edited(self.build, changes)

    def _entry(self, path: str, row: int) -> float | None:
        value = self.numbers[path]
        one = float(value[row] if value.ndim else value)
        return None if np.isnan(one) else one


def variants(build: Build, columns: Mapping[str, ArrayLike] | None = None) -> Variants:
    """Variants of a build: for each dotted path a column of numbers, nan for not entered; the same length all of them.

    >>> three = variants(Build(), {"plan.rear_lift_mm": [0.0, 25.4, 50.8]})
    >>> three.rows, float(three["plan.rear_lift_mm"][1]), bool(np.isnan(three["axle.ratio"]))
    (3, 25.4, True)

    Raises
    ------
    KeyError
        When a path names no numeric entry of the document.
    ValueError
        When the columns are not of one length, or none has a row.
    """
    numbers, words = _Numbers(), dict[str, Any]()
    _walk(build, "", numbers, words)
    made = {path: np.ascontiguousarray(column, np.float64) for path, column in (columns or {}).items()}
    for path in made:
        if not is_numeric(path):
            raise KeyError(path)
    shapes = {column.shape for column in made.values()}
    if len(shapes) > 1 or any(len(shape) != 1 or shape[0] < 1 for shape in shapes):
        raise ValueError("columns must each be a list of numbers, all of one length, at least one")
    numbers.update(made)
    _whole_points(made, numbers)
    return Variants(build, numbers, words, tuple(made), shapes.pop()[0] if shapes else 1)


def _whole_points(made: dict[str, Column], numbers: _Numbers) -> None:
    """Where one part of a point is not entered in a row, none of it is."""
    for path, column in list(made.items()):
        head, _, last = path.rpartition(".")
        lacks = np.isnan(column)
        if not last.isdecimal() or head.endswith("gear_ratios") or not lacks.any():
            continue
        for part in (f"{head}.{number}" for number in range(3)):
            if part in numbers:
                made[part] = numbers[part] = np.where(lacks, np.nan, numbers[part])


def _walk(section: Section, prefix: str, numbers: dict[str, Column], words: dict[str, Any]) -> None:
    for name, value in section.__dict__.items():
        kind = type(value)
        if kind is float:
            numbers[prefix + name] = np.float64(value)  # type: ignore[assignment]
        elif value is None:
            continue
        elif kind is tuple:
            words[prefix + name] = len(value)
            for number, item in enumerate(value):
                if type(item) is float:
                    numbers[f"{prefix}{name}.{number}"] = np.float64(item)  # type: ignore[assignment]
                elif isinstance(item, Section):
                    _walk(item, f"{prefix}{name}.{number}.", numbers, words)
        elif isinstance(value, Section):
            _walk(value, f"{prefix}{name}.", numbers, words)
        else:
            words[prefix + name] = value
