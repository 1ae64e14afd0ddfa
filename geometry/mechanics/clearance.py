"""Gaps between what moves and what is in the way, by shapely, never larger than they truly are.

A shaft's body in side or top view is each section's outline: the tube at its true diameter, wider at the yokes. Its
gap to an obstacle is taken at every position of the travel, but where a straight line between the two tells that it is
not the least. Between two positions each corner is taken along its chord. A body that touches nothing on the way comes
no nearer than its two ends and the ways of its corners, but for what its edges may bulge as they turn; how far the true
paths bow from their chords comes off besides. So the number is safe, and sharp to a few hundredths of a millimetre at
some eighty positions.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.mechanics.vectors import Bools, Floats, Vector

Outline: TypeAlias = tuple[tuple[float, float], ...]
"""Corners of what is in the way, three or more, in the view's two coordinates, mm; the last joins the first."""
Ends: TypeAlias = tuple[Floats, Floats]
"""Places in a view by its two coordinates, mm."""
Objects: TypeAlias = NDArray[np.object_]
"""Outlines as shapely takes them."""
Places: TypeAlias = NDArray[np.intp]
"""Indices."""
VIEWS = {"side": (0, 2), "top": (0, 1)}
"""The two coordinates that each view draws."""
SHARP_MM = 0.04
"""A body that comes as near as this between two positions counts as touching."""
_FARTHEST = 1.25**0.5
"""Swings from a joint to the farthest corner beside it: one along, half of one across."""
_MOST_BODIES = 512
"""How many bodies a row may have looked at between positions, to tell whether it touches."""
_LAST_BITS_MM = 1e-6
"""Two ways to work one gap out differ by less."""
_ACROSS = tuple((float(np.cos(turn)), float(np.sin(turn))) for turn in np.arange(4) * (np.pi / 4.0))
"""Directions, either way, in which every body is held apart from what is in the way."""
_HAIR_MM, _TIGHTEST_MM = 0.1, 100.0
"""What is added for a path's bow from its chord, and the tightest radius that an axle swings on."""
SECTION_PARTS = ((0, 1, 2, 9, 10, 11), (2, 3, 8, 9, 2, 2), (3, 4, 5, 6, 7, 8))
"""Corners of a section's yoke, tube and yoke, which together hold all of its outline."""


class Gap(NamedTuple):
    """Least gap of n rows to one obstacle, mm (nil: it touches, nan: not known), and where it is.

    `least_mm`, `at_travel_mm` and `sweep` are (n,): the gap, the travel there (to half a step) and which sweep has it,
    counted from nil; `along_mm` is the gap at each position, (m, n).
    """

    least_mm: Floats
    at_travel_mm: Floats
    sweep: Places
    along_mm: Floats


@dataclass(frozen=True)
class Body:
    """Moving outlines of n rows: corners (m, n, c, 2) in m positions, mm, and the travel of each, (m,) or (m, n), mm.

    The positions are one sweep or several behind one another (at rest, wound up by launch), which begin at `starts`
    and are each a movement of its own: nothing lies between one and the next. What stands still is a sweep of one
    position. `parts` are corners by their places, as many in each, that together hold all of the outline; a hollow one
    is held apart more closely by parts that are not. What several obstacles are held against is worked out once.
    """

    corners_mm: Floats
    travel_mm: Floats
    starts: tuple[int, ...] = (0,)
    parts: tuple[tuple[int, ...], ...] = ()

    @cached_property
    def cornerwise(self) -> tuple[Floats, Floats]:
        """Both coordinates by corner, (c, m, n) each."""
        across, up = np.ascontiguousarray(self.corners_mm.transpose(3, 2, 0, 1))
        return across, up

    @cached_property
    def square(self) -> tuple[Floats, Floats]:
        """The direction square to the first edge, (m, n) each; a section's is square to all of it."""
        (x, far_x), (y, far_y) = (part[:2] for part in self.cornerwise)
        size = _size(far_x - x, far_y - y)
        long = np.where(size > 0.0, size, np.inf)
        return (y - far_y) / long, (far_x - x) / long

    @cached_property
    def moves(self) -> Floats:
        """How each corner moves to the next position, (m-1, n, c, 2)."""
        return self.corners_mm[1:] - self.corners_mm[:-1]

    @cached_property
    def steps(self) -> Floats:
        """How far the farthest corner moves to the next position, (m-1, n); less than nothing between two sweeps."""
        steps = farthest(self.moves)
        for start in self.starts[1:]:
            steps[start - 1] = -np.inf
        return steps

    @cached_property
    def bow(self) -> Floats:
        """How far a corner's path bows from its chord to the next position at the most, (m-1, n).

        An eighth of the step squared times the larger curvature at its two ends, which comes from divided differences
        and is raised by two steps' share of the sweep since a path may bend more between positions than at them. Of
        two positions alone: as an arc of a step's radius.
        """
        bow = np.zeros(self.steps.shape)
        travel = self.travel_mm.reshape(len(self.corners_mm), -1)
        width = np.abs(travel[1:] - travel[:-1])
        for start, end in pairwise((*self.starts, len(self.corners_mm))):
            own, wide = self.moves[start : end - 1], width[start : end - 1]
            if len(own) == 1:
                bow[start] = self.steps[start] / 8.0
            elif len(own):
                # Positions that fall together tell nothing of how the path bends there, nor does a body that is held.
                moves = (wide > 0.0) & (self.steps[start : end - 1] > 0.0)
                pace = own / np.where(moves, wide, np.nan)[..., None, None]
                curve = farthest(pace[1:] - pace[:-1]) / (0.5 * (wide[1:] + wide[:-1])) * (1.0 + 2.0 / len(own))
                bend = np.zeros((len(own), curve.shape[1]))
                bend[1:] = np.where(np.isfinite(curve), curve, 0.0)
                bend[:-1] = np.maximum(bend[:-1], bend[1:])
                bow[start : end - 1] = bend * wide**2 / 8.0
        return bow


def shaft_outline(
    first: Vector, last: Vector, tube_mm: Floats | float, swing_mm: Floats | float, view: tuple[int, int]
) -> Floats:
    """Corners of a section's body in a view, (...) -> (..., 12, 2), mm; nan where anything is.

    The yokes reach half a swing past the joint's centre, keep the swing's width for 0.6 of it behind, and taper into
    the tube at one swing: common practice. Where the section is too short for that they meet half way.

    Parameters
    ----------
    first, last
        Joint centres, mm; components of any shapes that broadcast.
    tube_mm, swing_mm
        Outer diameter of the tube and of the circle that the joints sweep, which may be the smaller.
    view
        The two coordinates drawn, one of `VIEWS`.

    Examples
    --------
    >>> ends = Vector(*np.zeros(3)), Vector(*np.array((1000.0, 0.0, 0.0)))
    >>> shaft_outline(*ends, 80.0, 100.0, VIEWS["side"])[:6].tolist()
    [[-50.0, 50.0], [60.0, 50.0], [100.0, 40.0], [900.0, 40.0], [940.0, 50.0], [1050.0, 50.0]]
    """
    across, up = view
    return section_outline((first[across], first[up]), (last[across], last[up]), tube_mm, swing_mm)


def section_outline(first: Ends, last: Ends, tube_mm: Floats | float, swing_mm: Floats | float) -> Floats:
    """As `shaft_outline`, from the joint centres as they lie in the view.

    >>> section_outline((np.zeros(1), np.zeros(1)), (np.zeros(1), np.array((900.0,))), 80.0, 100.0)[0, 0].tolist()
    [-50.0, -50.0]
    """
    x, y = first
    along_x, along_y = last[0] - x, last[1] - y
    reach = np.sqrt(along_x * along_x + along_y * along_y)
    seen = reach != 0.0  # on its end it is drawn as a square of the swing's width
    size = np.where(seen, reach, 1.0)
    along_x, along_y = np.where(seen, along_x / size, 1.0), along_y / size
    wide, half = swing_mm / 2.0, reach / 2.0
    behind, into = np.minimum(0.6 * swing_mm, half), np.minimum(1.0 * swing_mm, half)
    thin = np.asarray(tube_mm) / 2.0  # thicker than the yokes where a large tube has small joints
    thin = wide - (wide - thin) * (into - behind) / (0.4 * swing_mm)
    shape = np.shape(thin + x + y + along_y)
    # Along the section from the first joint, and half width there; then down one side and back up the other.
    at, off, corners = np.empty((*shape, 6)), np.empty((*shape, 6)), np.empty((*shape, 12, 2))
    at[..., 0], at[..., 1], at[..., 2] = -wide, behind, into
    at[..., 3], at[..., 4], at[..., 5] = reach - into, reach - behind, reach + wide
    off[...] = np.asarray(wide)[..., None]
    off[..., 2] = off[..., 3] = thin
    for axis, start, along, across in ((0, x, along_x, -along_y), (1, y, along_y, along_x)):
        middle, aside = np.asarray(start)[..., None] + np.asarray(along)[..., None] * at, across[..., None] * off
        corners[..., :6, axis] = middle + aside
        corners[..., 6:, axis] = (middle - aside)[..., ::-1]
    return corners


def strays_mm(first: Ends, last: Ends, of_first: Ends, of_last: Ends, sizes: Floats, of_sizes: Floats) -> Floats:
    """How far a corner of a section's body can lie at most from the same corner of another section's, mm.

    A corner lies (a, b) along and across the section from one of its joints. So it moves by no more than the farther
    joint; as (a, b), 1.118 swings at most or a swing along and half a larger tube across, turns with the section, whose
    direction changes by at most 2 |d - d'|/(|d| + |d'|), d the way from joint to joint; and as (a, b) changes with tube
    and swing. Infinite where a section is too short to have its yokes whole.

    Parameters
    ----------
    first, last, of_first, of_last
        Joint centres of the one section and of the other as they lie in a view, mm; shapes that broadcast.
    sizes, of_sizes
        Tube and swing of the one and of the other, (2, ...), mm.

    Examples
    --------
    >>> nil, long, up, sizes = np.zeros(1), np.array([1000.0]), np.array([10.0]), np.array([[80.0], [100.0]])
    >>> strays_mm((nil, nil), (long, up), (nil, nil), (long, nil), sizes, sizes).round(2).tolist()
    [11.12]

    Source: Dunkl and Williams, *American Mathematical Monthly* 71 (1964), for the change of direction (from memory).
    """
    way, of_way = (last[0] - first[0], last[1] - first[1]), (of_last[0] - of_first[0], of_last[1] - of_first[1])
    reach, of_reach = _size(*way), _size(*of_way)
    moved = np.maximum(_apart(first, of_first), _apart(last, of_last))
    swing = np.maximum(sizes[1], of_sizes[1])
    corner = np.hypot(swing, np.maximum(np.maximum(sizes[0], of_sizes[0]), swing) / 2.0)
    turned = _apart(way, of_way) * (2.0 * corner) / (reach + of_reach)
    grown = 0.5 * np.abs(sizes[0] - of_sizes[0]) + _FARTHEST * np.abs(sizes[1] - of_sizes[1])
    return np.where(np.minimum(reach, of_reach) < 2.0 * swing, np.inf, moved + turned + grown)


def most_bow_mm(step_mm: Floats) -> Floats:
    """How far the path of a step bows from its chord at the most: a hair, and the arc of the tightest radius, mm.

    >>> float(most_bow_mm(np.float64(20.0)))
    0.6
    """
    return _HAIR_MM + step_mm * step_mm / (8.0 * _TIGHTEST_MM)


def _apart(one: Ends, other: Ends) -> Floats:
    return _size(one[0] - other[0], one[1] - other[1])


def _size(across: Floats, up: Floats) -> Floats:
    size: Floats = np.sqrt(across * across + up * up)
    return size


def gaps_mm(corners_mm: Floats, outline: Outline) -> Floats:
    """Gap between each of any number of outlines and a fixed one, (..., c, 2) -> (...), mm.

    Nil where they cross or one holds the other; nan where a corner is. As shapely's own distance, which took less time
    than distances of edges alone did in numpy.

    Examples
    --------
    >>> square = np.array(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    >>> gaps_mm(np.stack((square, square + (9.0, 0.0))), ((4.0, 5.0), (6.0, 5.0), (5.0, 9.0))).tolist()
    [5.0, 5.0]
    """
    return _distances(_polygons(corners_mm), safe_outline(outline))


def gaps_to_each(corners_mm: Floats, fixed: Objects) -> Floats:
    """The same to fixed outlines from `safe_outline`, shaped to broadcast with the outlines.

    >>> square = np.array(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    >>> two = np.array([safe_outline(((far, 0.0), (far + 1.0, 0.0), (far, 1.0))) for far in (3.0, 5.0)])
    >>> gaps_to_each(square, two).tolist()
    [2.0, 4.0]
    """
    return _distances(_polygons(corners_mm), fixed)


def outlines(corners_mm: Floats) -> Objects:
    """Outlines (..., c, 2) as shapely takes them, (...); none where a corner is nan.

    >>> outlines(np.array(((0.0, 0.0), (2.0, 0.0), (2.0, 3.0)))).item().area
    3.0
    """
    return _polygons(corners_mm)


def gaps_between(shapes: Objects, others: Objects) -> Floats:
    """Least gaps between outlines from `outlines` and others, shaped to broadcast, mm; nan where one is none.

    >>> one, two = (outlines(np.array(((far, 0.0), (far + 1.0, 0.0), (far, 1.0)))) for far in (0.0, 5.0))
    >>> float(gaps_between(one, two))
    4.0
    """
    return _distances(shapes, others)


def least_gap(body: Body, outline: Outline) -> Gap:
    """Least gap of n rows over all their sweeps to a fixed outline, safe to what lies between positions.

    Examples
    --------
    >>> square, travel = np.array(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))), np.array((-9.0, 0.0, 9.0))
    >>> rising = np.stack([square + (0.0, high) for high in travel])[:, None]
    >>> found = least_gap(Body(rising, travel), ((3.0, 4.0), (5.0, 4.0), (5.0, 6.0)))
    >>> found.least_mm.tolist(), found.along_mm[1].round(3).tolist()
    ([2.0], [3.606])
    """
    rows = np.arange(body.corners_mm.shape[1])
    return least_gaps(body, rows, np.full(rows.shape, safe_outline(outline), np.object_), whole=np.True_)


def least_gaps(
    body: Body, rows: Places, fixed: Objects, *, whole: Bools | np.bool_ = np.False_, looked_at: Bools | None = None
) -> Gap:
    """Least gap of k rows of bodies, each to an outline of its own, safe to what lies between positions.

    Only positions that may be nearest are measured; at others a gap is told to be infinite.

    Parameters
    ----------
    rows
        Which row of the body each is, (k,).
    fixed
        What each is held against, (k,), from `safe_outline`.
    whole
        Those that are measured at all positions, (k,), or all.
    looked_at
        Positions that count, (m, k), at least one of each; all where not given.

    Examples
    --------
    >>> square = np.array(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))[None, None]
    >>> two = [safe_outline(((far, 0.0), (far + 1.0, 0.0), (far, 1.0))) for far in (3.0, 5.0)]
    >>> least_gaps(Body(square, np.zeros(1)), np.zeros(2, np.intp), np.array(two)).least_mm.tolist()
    [2.0, 4.0]
    """
    columns = np.arange(len(rows))
    at_least, on_the_way = _held_apart(body, rows, fixed)
    if looked_at is not None:
        at_least = np.where(looked_at, at_least, np.inf)
    # What is surely farther away than the gap at one position is nowhere nearest.
    first = np.where(np.isnan(at_least), np.inf, at_least).argmin(axis=0)
    known = _distances(_polygons(body.corners_mm[first, rows]), fixed)
    worth, hides = ~(at_least > known + _LAST_BITS_MM), ~(on_the_way > known)
    worth[1:] |= hides
    worth[:-1] |= hides
    if looked_at is not None:
        worth &= looked_at
    worth |= whole
    worth[first, columns] = False
    gaps = np.full(worth.shape, np.inf)
    gaps[first, columns] = known
    place, column = np.nonzero(worth)
    gaps[place, column] = _distances(_polygons(body.corners_mm[place, rows[column]]), fixed[column])
    travel = body.travel_mm.reshape(len(gaps), -1)
    travel = travel[:, rows if travel.shape[1] > 1 else np.zeros_like(rows)]
    place = np.argmin(gaps, axis=0)  # a nan is taken for the least
    least, at = gaps[place, columns], travel[place, columns]
    if len(gaps) > 1:
        # On the way from one gap to the next each can fall by a millimetre for every one that the body moves; only
        # where that falls below the least gap seen can a lesser one hide.
        lowest = (gaps[:-1] + gaps[1:] - body.steps[:, rows]) / 2.0
        index, column = np.nonzero(hides & (lowest - body.bow[:, rows] < least) & (least > 0.0))
        if len(column):
            between, where = np.full(lowest.shape, np.inf), np.zeros(lowest.shape)
            way = _Way(body, index, rows[column], gaps[index, column], gaps[index + 1, column], fixed[column])
            between[index, column], share = _between(way, lowest[index, column], _MOST_BODIES * len(rows))
            where[index, column] = travel[index, column] + share * (travel[index + 1, column] - travel[index, column])
            nearest = np.argmin(between, axis=0)
            nearer = between[nearest, columns] <= least
            least = np.where(nearer, np.maximum(between[nearest, columns], 0.0), least)
            at = np.where(nearer, where[nearest, columns], at)
            place = np.where(nearer, nearest, place)
    return Gap(least, np.where(np.isnan(least), np.nan, at), np.searchsorted(body.starts, place, "right") - 1, gaps)


def _held_apart(body: Body, rows: Places, fixed: Objects) -> tuple[Floats, Floats]:
    """How far apart lines hold k rows of bodies from what each is held against, at each place and on each way on.

    (m, k) and (m-1, k), mm; never more than the gap, and nan where it is not known. A line that has all of a body's
    part on one side and all of an outline on its other holds them apart by the strip between; as corners go straight
    on their way, what such a strip is at both ends it is between them, but for the bow. Lines lie in four directions
    and along the body's first edge as it lies at a place and at the next.
    """
    import shapely

    count = shapely.get_num_coordinates(fixed)  # nil of an outline that is not known
    starts = np.concatenate(([0], np.cumsum(count)))
    spots = np.concatenate((shapely.get_coordinates(fixed), np.zeros((1, 2))))  # so that every start is a spot
    whose = np.repeat(np.arange(len(fixed) + 1), np.append(count, 1)) % len(fixed)
    parts = np.array(body.parts or (range(body.corners_mm.shape[2]),))
    (x, y), (square_x, square_y) = body.cornerwise, body.square
    places = len(body.corners_mm)
    apart = np.full((len(parts), places, len(rows)), -np.inf)
    on_the_way = apart[:, 1:].copy()

    def reach(seen: Floats) -> tuple[Floats, Floats]:
        """Most and least of each part's corners, (parts, ..., k)."""
        seen = seen[parts]
        return np.maximum.reduce(seen, axis=1)[..., rows], np.minimum.reduce(seen, axis=1)[..., rows]

    def ends(seen: Floats) -> tuple[Floats, Floats]:
        """Most and least of each fixed outline's corners, (..., k)."""
        most, least = np.maximum.reduceat(seen, starts, axis=-1), np.minimum.reduceat(seen, starts, axis=-1)
        return most[..., :-1], least[..., :-1]

    def strips(most: Floats, least: Floats, high: Floats, low: Floats) -> tuple[Floats, Floats]:
        return low - most, least - high

    for across, up in _ACROSS:
        for strip in strips(*reach(x * across + y * up), *ends(spots @ (across, up))):
            np.maximum(apart, strip, out=apart)
            np.maximum(on_the_way, np.minimum(strip[:, 1:], strip[:, :-1]), out=on_the_way)
    along, above = (square[:, rows[whose]] for square in body.square)
    high, low = ends(spots[:, 0] * along + spots[:, 1] * above)
    here = strips(*reach(x * square_x + y * square_y), high, low)
    ahead = strips(*reach(x[:, 1:] * square_x[:-1] + y[:, 1:] * square_y[:-1]), high[:-1], low[:-1])
    behind = strips(*reach(x[:, :-1] * square_x[1:] + y[:, :-1] * square_y[1:]), high[1:], low[1:])
    for strip, next_, before in zip(here, ahead, behind, strict=True):
        np.maximum(apart, strip, out=apart)
        np.maximum(on_the_way, np.minimum(strip[:, :-1], next_), out=on_the_way)
        np.maximum(on_the_way, np.minimum(strip[:, 1:], before), out=on_the_way)
    apart[..., count == 0] = on_the_way[..., count == 0] = np.nan
    return np.minimum.reduce(apart), np.minimum.reduce(on_the_way) - body.bow[:, rows]


class _Way:
    """k ways from one position to the next: corners, how they move, the gaps at both ends, what is in the way."""

    def __init__(self, body: Body, index: Places, row: Places, before: Floats, after: Floats, fixed: Objects) -> None:
        self.start, self.move = body.corners_mm[index, row], body.moves[index, row]
        self.step, self.bow = body.steps[index, row], body.bow[index, row]
        self.before, self.after, self.fixed = before, after, fixed


def _between(way: _Way, low: Floats, most: int) -> tuple[Floats, Floats]:
    """Least gap on k ways from one position to the next, and at which share of the way, (k,) and (k,).

    `low` (k,) is what it cannot fall below for the body's way; at most so many bodies are looked at on it.
    """
    ends, ways = np.minimum(way.before, way.after), _ways(way.start, way.move, way.fixed)
    near = np.maximum(np.minimum(ends, ways) - _bulge(way.start, way.move, way.step), low) - way.bow
    share = np.where(ends <= ways + 1e-9, np.where(way.before <= way.after, 0.0, 1.0), 0.5)
    # All that holds only if it touches nothing on its way.
    doubtful = np.flatnonzero(low <= 0.0)
    if len(doubtful):
        touches = _may_touch(way, doubtful, most=most)
        doubtful = doubtful[touches]
        near[doubtful] = (low - way.bow)[doubtful]
    return near, share


def _ways(start: Floats, move: Floats, fixed: Objects) -> Floats:
    """How near the corners come on their ways, (k, c, 2) twice -> (k,); the body's edges at both ends count too."""
    import shapely

    # To and fro from corner to corner: along the first's way, an edge at the end, back along the second's, and so on.
    ways, end = np.empty((*start.shape[:2], 2, 2)), start + move
    ways[:, ::2, 0], ways[:, ::2, 1] = start[:, ::2], end[:, ::2]
    ways[:, 1::2, 0], ways[:, 1::2, 1] = end[:, 1::2], start[:, 1::2]
    return _distances(shapely.linestrings(ways.reshape(len(start), -1, 2)), fixed)


def _bulge(start: Floats, move: Floats, step: Floats) -> Floats:
    """How far what an edge sweeps may bulge beyond its two ends and its corners' ways, (k, c, 2) twice, (k,) -> (k,).

    The edge is D(t) = D + t dD. It can bulge only where a point of it moves along it, with v = s D(t). At t <= 1/2
    that point is within t² s |dD| of the edge's start or of a corner's way, at t >= 1/2 within (1-t)² s |dD| of its end
    or of one: so within |v| |dD| / (4 |D(t)|). Nor is it farther from a corner's way than half of the edge's length.
    """
    length, change = _edges(start), _edges(move)
    shortest = length - change
    stays = shortest > 0.0
    bulge = np.where(stays, step[:, None] * change / np.where(stays, 4.0 * shortest, 1.0), np.inf)
    found: Floats = np.minimum(bulge, (length + change) / 2.0).max(axis=1)
    return found


def _edges(corners: Floats) -> Floats:
    """Length of each edge, from a corner to the next and from the last to the first, (k, c, 2) -> (k, c)."""
    edges = np.empty(corners.shape)
    edges[:, :-1], edges[:, -1] = corners[:, 1:] - corners[:, :-1], corners[:, 0] - corners[:, -1]
    lengths: Floats = np.sqrt(edges[..., 0] ** 2 + edges[..., 1] ** 2)
    return lengths


def _may_touch(way: _Way, some: Places, *, most: int) -> Bools:
    """Whether bodies may touch on some of their ways, by halving, (j,) -> (j,).

    True too where it comes too near to tell, or where more than `most` bodies would have to be looked at.
    """
    start, move, step, fixed = way.start[some], way.move[some], way.step[some], way.fixed[some]
    before, after = way.before[some], way.after[some]
    touches = np.zeros(len(start), np.bool_)
    # Stretches of the ways in doubt: whose way, where on it they begin, and the gaps at both ends.
    whose, at, width = np.arange(len(start)), np.zeros(len(start)), 1.0
    while len(whose):
        most -= len(whose)
        touches[whose[width * step[whose] <= 2.0 * SHARP_MM] if most >= 0 else whose] = True
        width /= 2.0
        open_ = ~touches[whose]
        whose, at, before, after = whose[open_], at[open_], before[open_], after[open_]
        middle = start[whose] + (at + width)[:, None, None] * move[whose]
        half_way = _distances(_polygons(middle), fixed[whose])
        touches[whose[half_way == 0.0]] = True
        whose, at = np.concatenate((whose, whose)), np.concatenate((at, at + width))
        before, after = np.concatenate((before, half_way)), np.concatenate((half_way, after))
        open_ = (before + after <= width * step[whose]) & ~touches[whose]
        whose, at, before, after = whose[open_], at[open_], before[open_], after[open_]
    return touches


@lru_cache(maxsize=64)  # what is in the way stays as it is from edit to edit
def safe_outline(corners_mm: Outline) -> Any:
    """A fixed outline ready to be measured to, whatever its corners: crossing itself, repeated, in line or all one.

    It is left in one ring. shapely's distance is that to the closed line, and nil where a body lies inside by the
    even-odd rule; from outside that is the same as to the polygons that `shapely.make_valid` would take it apart into,
    which takes a minute for 400 corners at random. Only where two edges run over each other may it differ: there
    make_valid counts them once, the even-odd rule twice. It is not "prepared" either: that gained nothing for a dozen
    corners, and its index must not be used from two threads at once.

    Examples
    --------
    >>> safe_outline(((0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0))).is_valid
    False
    """
    import shapely

    return shapely.polygons(np.array(corners_mm, np.float64))


def farthest(ways: Floats) -> Floats:
    """Length of the longest of c ways in a view, (..., c, 2) -> (...), mm; nan where one is not known.

    >>> float(farthest(np.array([(3.0, 4.0), (0.0, 2.0)])))
    5.0
    """
    longest: Floats = np.sqrt((ways[..., 0] ** 2 + ways[..., 1] ** 2).max(axis=-1))
    return longest


def _polygons(corners: Floats) -> Objects:
    """Outlines as polygons, (..., c, 2) -> (...); none where a corner is nan, whose gap is nan then."""
    import shapely

    finite = np.isfinite(corners)
    if finite.all():
        return np.asarray(shapely.polygons(corners), np.object_)
    known = finite.all(axis=(-1, -2))
    shapes = np.full(known.shape, None, np.object_)
    shapes[known] = shapely.polygons(corners[known])
    return shapes


def _distances(shapes: Objects, fixed: object) -> Floats:
    import shapely

    # Outlines whose corners fall together divide by nought inside, and still come out right.
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(shapely.distance(shapes, fixed), np.float64)
