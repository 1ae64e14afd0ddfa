"""Turning a linkage's height curve round, by rows: which parameter brings the axle to a height.

A leaf spring and a four-bar have one thing in common: one number (the leaf's curvature, the lower link's angle) fixes
every point in closed form. Wanted is the inverse, on the stretch around a known posture over which the height runs one
way: up to where it turns back or the linkage is at its stop.

Two ways, the second only for the rows that the first leaves open:

- quick: from the known posture by inverse Hermite interpolation (value and slope at the last two places, so a cubic of
  the parameter over the height), which a dead point does not trouble because the parameter is smooth over the height
  there. It counts only where the height ran the same way at every place tried;
- careful: the stretch's end, once for each variant and side, then Newton's rule held between posture and end. The
  parameter is taken as start + (end - start) sin f, in which the height is smooth up to a dead point at the end.

Source: any textbook of numerical analysis (Hermite interpolation, regula falsi, safeguarded Newton).
"""

from collections.abc import Callable
from typing import Generic, NamedTuple, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from geometry.mechanics.vectors import Bools, Floats, number

P = TypeVar("P", bound=tuple[object, ...])

_CLOSE_MM, _NEAR_MM = 1e-9, 3e-3
_QUICK_STEPS, _MORE_STEPS, _MOST_STEPS = 3, 5, 60
_LIST = 2048
"""Rows that are looked at together for their ends: 33 nodes of each stay within the processor's own memory."""


def _nodes(count: int) -> Floats:
    """Values of f from start to end; they crowd toward the end, where a dead point may be.

    At a dead point itself rounding alone decides the sign of the height's slope: it is read just before. A turning back
    that lies nearer to the end counts as the end, which is less than 1e-3 mm away.
    """
    return np.append(np.append(np.linspace(0.0, 0.5 * np.pi, count)[:-1], 0.5 * np.pi - 1e-3), 0.5 * np.pi)[:, None]


_FEW_NODES, _MANY_NODES = _nodes(33), _nodes(513)
_TINY = 1e-100


class Linkage(NamedTuple, Generic[P]):
    """A linkage with one parameter, by rows.

    `parts` is a NamedTuple of the dimensions, each one number or an array whose last axis is the rows. Of the
    functions, each takes the parts first:

    - `curve(parts, x)`: height, mm, and its derivative by the parameter;
    - `limits(parts, start)`: least and greatest parameter around a start, nan where there is none;
    - `kept(parts, start, x)`: whether x is surely within those limits (False may also mean "not looked into").
    """

    parts: P
    curve: Callable[[P, Floats], tuple[Floats, Floats]]
    limits: Callable[[P, Floats], tuple[Floats, Floats]]
    kept: Callable[[P, Floats, Floats], Bools]


class _Place(NamedTuple):
    """A parameter with the height there and the parameter's slope over the height."""

    x: Floats
    height: Floats
    slope: Floats


def root(linkage: Linkage[P], start: Floats, height_mm: Floats, sense: float | None = None) -> Floats:
    """Parameter at each height, on the stretch around start; nan where the stretch does not reach it.

    >>> class Arm(NamedTuple):
    ...     length: Floats
    >>> arm = Linkage(
    ...     Arm(number(100.0)),  # the height of its end over its angle
    ...     lambda arm, x: (arm.length * np.sin(x), arm.length * np.cos(x)),
    ...     lambda arm, start: (start - np.pi, start + np.pi),
    ...     lambda arm, start, x: abs(x - start) < 1.0,
    ... )
    >>> with np.errstate(all="ignore"):
    ...     found = root(arm, number(0.1), np.array([-100.0, 50.0, 101.0]))
    >>> (found / np.pi).round(6).tolist()
    [-0.5, 0.166667, nan]

    Parameters
    ----------
    linkage, start
        One number or (..., n) each: the variants.
    height_mm
        Any shape that broadcasts with the variants, as (m, n) or (m, 1) for m positions of each, mm.
    sense
        +1.0 or -1.0: the height must rise or fall with the parameter at start. None: either.

    Notes
    -----
    Met within 1e-9 mm. Next to a dead point, where the height stands upright over the parameter, rounding of the
    parameter costs up to 1e-8 of the linkage's size. A dip of the height narrower than a five-hundredth of the way
    to the end may be overlooked. The quick way distrusts a step over which the mean slope is far from those at its
    ends; of links thrown together at random one set in some 20,000 still lets it step over a dip.
    """
    height, rate = linkage.curve(linkage.parts, start)
    return _found(linkage, _Place(start, height, 1.0 / rate), height_mm, sense)


def followed(linkage: Linkage[P], start: Floats, rise_mm: Floats, sense: float | None = None) -> Floats:
    """Parameter at each rise above the start's own height, mm, as in `root`; no rise gives start itself exactly.

    >>> class Arm(NamedTuple):
    ...     length: Floats
    >>> arm = Linkage(
    ...     Arm(number(100.0)),  # the height of its end over its angle
    ...     lambda arm, x: (arm.length * np.sin(x), arm.length * np.cos(x)),
    ...     lambda arm, start: (start - np.pi, start + np.pi),
    ...     lambda arm, start, x: abs(x - start) < 1.0,
    ... )
    >>> with np.errstate(all="ignore"):
    ...     found = followed(arm, number(0.1), np.array([0.0, 110.0]))
    >>> found.tolist()
    [0.1, nan]
    """
    height, rate = linkage.curve(linkage.parts, start)
    return _found(linkage, _Place(start, height, 1.0 / rate), height + rise_mm, sense)


def rise_ends_mm(linkage: Linkage[P], start: Floats, sense: float | None = None) -> tuple[Floats, Floats]:
    """Lowest and highest rise that the stretch around start reaches, mm, (n,) each; nan where there is no stretch.

    >>> class Arm(NamedTuple):
    ...     length: Floats
    >>> arm = Linkage(
    ...     Arm(number(100.0)),  # the height of its end over its angle
    ...     lambda arm, x: (arm.length * np.sin(x), arm.length * np.cos(x)),
    ...     lambda arm, start: (start - np.pi, start + np.pi),
    ...     lambda arm, start, x: abs(x - start) < 1.0,
    ... )
    >>> with np.errstate(all="ignore"):
    ...     found = rise_ends_mm(arm, number(0.0))
    >>> [round(float(end), 6) for end in found]
    [-100.0, 100.0]
    """
    height, rate = linkage.curve(linkage.parts, start)
    way: Floats = np.sign(rate) if sense is None else number(sense)
    low, high = linkage.limits(linkage.parts, start)
    shape = np.broadcast_shapes(np.shape(rate), np.shape(low))
    count = int(np.prod(shape))
    fine = np.flatnonzero(np.broadcast_to((way * rate > 0.0) & (low <= start) & (start <= high), shape))
    rows = np.tile(fine, 2)
    ends = np.concatenate([_rows(end, shape, fine) for end in (low, high)])
    _, at_end = _stretch_end(linkage, shape, rows, _rows(start, shape, rows), ends, _rows(way, shape, rows))
    rise = np.full((2, count), np.nan)
    rise[:, fine] = (at_end - _rows(height, shape, rows)).reshape(2, -1)
    lowest, highest = np.sort(rise, axis=0).reshape((2, *shape))
    return lowest[()], highest[()]


def least_on_the_way(first: Floats, middle: Floats, last: Floats) -> Floats:
    """Least of a smooth value between three places that are equally far apart, by the parabola through them.

    Parameters
    ----------
    first, middle, last
        The value there, any shapes that broadcast; nan in one is nan.

    Examples
    --------
    >>> one, two, three = (np.float64(value) for value in (1.0, 0.0, 1.5))
    >>> float(least_on_the_way(one, two, three))  # 1.25 t² + 0.25 t: −0.0125 at t = −0.1
    -0.0125
    >>> float(least_on_the_way(two, one, three))  # which has no dip between them
    0.0

    Source: Newton's interpolation through three places, any textbook on numerical methods.
    """
    slope, bend = (last - first) / 2.0, first - 2.0 * middle + last
    dips = np.abs(slope) < bend
    dip = middle - np.where(dips, slope * slope / (2.0 * np.where(dips, bend, 1.0)), 0.0)
    least: Floats = np.minimum(np.minimum(first, last), np.where(dips, dip, middle))
    return least


def _found(linkage: Linkage[P], start: _Place, target: Floats, sense: float | None) -> Floats:
    way: Floats = np.sign(start.slope) if sense is None else number(sense)
    runs = (way * start.slope > 0.0) & (abs(start.slope) < np.inf)
    right = runs & linkage.kept(linkage.parts, start.x, start.x)
    guess = start.x + (target - start.height) * start.slope
    found, good, last, guess, still = _quick(linkage, way, right, start, guess, target, _QUICK_STEPS)
    good = good & linkage.kept(linkage.parts, start.x, found)
    if np.ndim(found) == 0:
        if good:
            return found
    elif good.all():
        return found
    shape = np.shape(found)
    all_found = np.array(found, ndmin=1).reshape(-1)
    variants = np.shape(right)
    open_rows = np.flatnonzero(~good & ~np.isnan(target) & runs)
    numbers = np.broadcast_to(np.arange(int(np.prod(variants))).reshape(variants), shape).reshape(-1)
    all_found[np.flatnonzero(~good)] = np.nan

    going = np.flatnonzero(~good & still)
    if going.size:
        rows, own = numbers[going], linkage._replace(parts=_picked(linkage.parts, variants, numbers[going]))
        more, fine, *_ = _quick(
            own,
            _rows(way, variants, rows),
            np.ones(going.size, np.bool_),
            _Place(*(_rows(part, shape, going) for part in last)),
            _rows(guess, shape, going),
            _rows(target, shape, going),
            _MORE_STEPS,
        )
        fine &= own.kept(own.parts, _rows(start.x, variants, rows), more)
        all_found[going[fine]] = more[fine]
        open_rows = np.setdiff1d(open_rows, going[fine], assume_unique=True)
    if open_rows.size:
        all_found[open_rows] = _careful(
            linkage,
            variants,
            numbers[open_rows],
            _Place(*(_rows(part, variants, numbers[open_rows]) for part in start)),
            _rows(way, variants, numbers[open_rows]),
            _rows(target, shape, open_rows),
        )
    return all_found.reshape(shape)[()]


def _quick(
    linkage: Linkage[P], way: Floats, right: Bools, last: _Place, guess: Floats, target: Floats, most: int
) -> tuple[Floats, Bools, _Place, Floats, Bools]:
    """Found, whether good, the last place, the next guess, and whether the row is still on its way there."""
    one = np.ndim(guess) == 0
    settled: Bools | None = None
    found, last_pace = guess, way * last.slope
    for _ in range(most):
        height, rate = linkage.curve(linkage.parts, guess)
        slope = 1.0 / rate
        pace = way * slope
        left, step = target - height, height - last.height + _TINY
        mean = (guess - last.x) / step
        bend = (slope - mean) / step
        square = left * left
        curved, cubic = square * bend, square * (left + step) * ((bend - (mean - last.slope) / step) / step)
        near = abs(left) <= 0.1 * _CLOSE_MM
        # A mean slope far from those at both places: the height may have turned back in between.
        least, most_pace = np.minimum(pace, last_pace), np.maximum(pace, last_pace)
        steady = (abs(mean) <= 1.8 * least) & (most_pace <= 1.8 * abs(mean))
        right = right & (pace > 0.0) & (near | steady)
        # Near enough that what the step's cubic cannot follow is lost in the tolerance: the miss itself is small, and
        # the step's third-order part is within the tolerance and well below its second.
        small = np.minimum(0.1 * abs(curved * rate), _CLOSE_MM) + 0.01 * _CLOSE_MM
        done = right & (near | ((abs(left) <= _NEAR_MM) & (abs(cubic * rate) <= small)))
        new = guess + (left * slope + curved + cubic)
        last, last_pace, guess = _Place(guess, height, slope), pace, new
        if one:
            if done:
                return (last.x if near else new), done, last, guess, right
            if not right:
                break
        else:
            new = np.where(near, last.x, new)
            found = new if settled is None else np.where(done & ~settled, new, found)
            settled = done if settled is None else settled | done
            if settled.all() or not right.any():
                break
    if settled is None:
        return guess, right & False, last, guess, right
    return found, settled, last, guess, right & ~settled


def _careful(
    linkage: Linkage[P], shape: tuple[int, ...], numbers: NDArray[np.intp], start: _Place, way: Floats, target: Floats
) -> Floats:
    """Parameters of a list of rows, (r,), whose variants have these numbers; nan where out of reach."""
    upward = way * (target - start.height) > 0.0
    pairs, first, of_pair = np.unique(2 * numbers + upward, return_index=True, return_inverse=True)
    variants = pairs // 2
    low, high = linkage.limits(_picked(linkage.parts, shape, variants), start.x[first])
    end = np.where(pairs % 2 == 1, high, low)
    inside = (low <= start.x[first]) & (start.x[first] <= high)
    end = np.where(inside, end, np.nan)
    share, at_end = _stretch_end(linkage, shape, variants, start.x[first], end, way[first])
    share, at_end, end = share[of_pair], at_end[of_pair], end[of_pair]
    whole, part = at_end - start.height, target - start.height
    held = np.flatnonzero((part * whole >= 0.0) & (abs(part) <= abs(whole)))
    found = np.full(target.shape, np.nan)
    if held.size:
        parts = _picked(linkage.parts, shape, numbers[held])
        begin, span = start.x[held], end[held] - start.x[held]
        found[held] = _held(
            linkage, parts, begin, span, share[held], whole[held], target[held], part[held] / whole[held]
        )
    return found


def _held(
    linkage: Linkage[P],
    parts: P,
    begin: Floats,
    span: Floats,
    share: Floats,
    whole: Floats,
    target: Floats,
    portion: Floats,
) -> Floats:
    """Newton's rule on f, held between 0 and share, which enclose the answer; halving where a step leaves them."""
    sense, low, high = np.sign(whole), np.zeros(share.shape), share
    place = share * np.where(np.isfinite(portion), portion, 0.0)
    for _ in range(_MOST_STEPS):
        height, rate = linkage.curve(parts, begin + span * np.sin(place))
        error = sense * (height - target)
        low, high = np.where(error < 0.0, place, low), np.where(error < 0.0, high, place)
        step = place - error / (sense * rate * span * np.cos(place))
        new = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
        done = (abs(error) <= _CLOSE_MM) | (new == place)
        place = new
        if done.all():
            break
    return begin + span * np.sin(place)


def _stretch_end(
    linkage: Linkage[P], shape: tuple[int, ...], variants: NDArray[np.intp], start: Floats, end: Floats, way: Floats
) -> tuple[Floats, Floats]:
    """Where the height turns back between start and end, as f, and the height there, (r,) each; the end if nowhere."""
    share, height = np.empty(start.shape), np.empty(start.shape)
    for first in range(0, start.size, _LIST):
        row = slice(first, first + _LIST)
        own = linkage._replace(parts=_picked(linkage.parts, shape, variants[row]))
        share[row], height[row], doubtful = _scanned(own, start[row], end[row], way[row], _FEW_NODES)
        if doubtful.any():
            rows = np.flatnonzero(doubtful) + first
            own = linkage._replace(parts=_picked(linkage.parts, shape, variants[rows]))
            share[rows], height[rows], _ = _scanned(own, start[rows], end[rows], way[rows], _MANY_NODES)
    return share, height


def _scanned(
    linkage: Linkage[P], start: Floats, end: Floats, way: Floats, nodes: Floats
) -> tuple[Floats, Floats, Bools]:
    """What `_stretch_end` gives, by looking at these nodes of f, and whether it wants looking at more closely.

    That is where the height gains less than a third of what its slope at a node promises: it may turn back in between.
    """
    span = end - start
    heights, rates = linkage.curve(linkage.parts, start + span * np.sin(nodes))
    pace = way * rates
    same = pace > 0.0
    same[0] = same[-1] = True
    last = np.logical_and.accumulate(same, axis=0).sum(axis=0) - 1
    share, height = np.full(start.shape, 0.5 * np.pi), heights[-1].copy()
    promised = np.cos(nodes[:-1]) * pace[:-1]
    gained = np.diff(heights[:-1], axis=0) * (3.0 * way * np.sign(span)) / np.diff(nodes[:-1], axis=0)
    within = np.arange(nodes.size - 2)[:, None] < last
    doubtful: Bools = (within & (gained < abs(span) * np.maximum(promised[1:], promised[:-1]))).any(axis=0)
    back = np.flatnonzero((last < nodes.size - 1) & ~np.isnan(span))
    if back.size:
        at = last[back]
        share[back], height[back] = _turning(
            linkage._replace(parts=_picked(linkage.parts, start.shape, back)),
            (start[back], span[back], way[back]),
            (nodes[at, 0], nodes[at + 1, 0]),
            (rates[at, back], rates[at + 1, back]),
        )
    return share, height, doubtful


def _turning(
    linkage: Linkage[P],
    along: tuple[Floats, Floats, Floats],
    between: tuple[Floats, Floats],
    rates: tuple[Floats, Floats],
) -> tuple[Floats, Floats]:
    """Turning points between two values of f, by regula falsi with halved ends (Illinois rule) on dz/df."""
    (begin, span, way), (low, high) = along, between
    at_low, at_high = (way * rate * np.cos(f) for rate, f in zip(rates, between, strict=True))
    at_high = np.maximum(at_high, -10.0 * at_low)  # a slope next to upright would draw the first step to the other side
    place, kind, done = low, np.zeros(low.shape), np.zeros(low.shape, np.bool_)
    while not done.all():  # each turn either moves by more than 1e-6, which makes the bracket smaller, or is the last
        step = high - at_high * (high - low) / (at_high - at_low)
        new = np.where((step > low) & (step < high), step, 0.5 * (low + high))
        height, rate = linkage.curve(linkage.parts, begin + span * np.sin(new))
        value = way * rate * np.cos(new)
        ahead = value > 0.0
        at_high = np.where(ahead, np.where(kind > 0.0, 0.5 * at_high, at_high), value)
        at_low = np.where(ahead, value, np.where(kind < 0.0, 0.5 * at_low, at_low))
        low, high = np.where(ahead, new, low), np.where(ahead, high, new)
        kind = np.where(ahead, 1.0, -1.0)
        done = (abs(new - place) <= 1e-6) | (high - low <= 1e-8)
        place = new
    return place, height


def _rows(values: Floats, shape: tuple[int, ...], rows: NDArray[np.intp]) -> Floats:
    """Some rows, (r,), of values that broadcast to a shape."""
    if np.ndim(values) == 0:
        return np.full(rows.shape, values)
    return np.broadcast_to(values, shape)[np.unravel_index(rows, shape)]


def _picked(parts: P, shape: tuple[int, ...], rows: NDArray[np.intp]) -> P:
    """The same parts for some rows; what is one for all stays."""
    picked = (part if np.ndim(part) == 0 else _rows(part, shape, rows) for part in cast("tuple[Floats, ...]", parts))
    return type(parts)(*picked)
