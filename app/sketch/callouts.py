"""Finds room for words on a page: greedy by rank, beside their anchors, on leaders that never cross.

Everything is in page pixels, y down. The most important words choose first; those that are `kept` always get a place,
the others yield where there is none. A placement is deterministic, and one that is still good is kept, so that words
stand still while what they belong to moves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from app.sketch.camera import Rect
from app.sketch.crossings import cut_boxes, lines_cross
from app.sketch.occupancy import Occupancy
from app.sketch.placed import GAP_PX, LEAST_LEADER_PX, Item, Placed, fits, leader_ends, leader_length, placed_at
from app.sketch.primitives import Floats

Indices = NDArray[np.int64]
Mask = NDArray[np.bool_]

_ATTEMPTS, _SHORT_FROM, _SPARE_FROM = 11, 4, 8  # at a page on which not all find room
_RINGS_PX = (10.0, 24.0, 40.0, 60.0, 84.0, 112.0, 148.0, 192.0, 244.0, 310.0)
_TURNS = 20
_YIELD_COST = 480.0  # words that are not kept rather go than stand worse than this
_SPARE_RANK, _SPARE_COST = 60, 150.0  # words from this rank on stand close by or not at all
_DIRECTION_COST, _SECOND_CHOICE = 46.0, 9.0
_OTHER_ANCHOR_COST, _SHORTER_COST, _ANYWHERE_COST = 6.0, 90.0, 30.0
_CROWDED_COST = 330.0  # beyond this, shorter words and far places are tried
_FEW, _AT_ONCE = 6, 64  # candidates tried one by one before the rest of a batch, and the first batch
_SOFT_COST, _SOFT_LEADER_COST, _HARD_LEADER_COST = 15.0, 0.4, 4.0


Priced = tuple[float, Placed | None]


def place(items: Iterable[Item], taken: Occupancy, previous: Mapping[str, Placed] | None = None) -> dict[str, Placed]:
    """Find a place for every item that can have one, by its key; `previous` places are kept while they are good."""
    ordered = sorted(items, key=lambda item: (item.rank, item.key))
    placed = _still_good(ordered, taken, previous or {})
    waiting = [item for item in ordered if item.key not in placed]
    if not waiting:
        return placed
    failed = _fill([_usual(item) for item in waiting], taken, placed)
    if failed is None:
        return placed
    # Someone who must be placed found no room: start afresh with that one first, then with the shortest words too, and
    # at the end with those that are for this alone.
    whole = {item.key: item for item in ordered}
    ordered = [_usual(item) for item in ordered]
    for attempt in range(_ATTEMPTS):
        ordered.sort(key=lambda item: item.key != failed)
        if attempt == _SHORT_FROM:
            ordered = [_shortest(item) for item in ordered]
        if attempt == _SPARE_FROM:
            ordered = [_shortest(whole[item.key]) for item in ordered]
        placed = {}
        failed = _fill(ordered, taken, placed, at_any_price=attempt == _ATTEMPTS - 1)
        if failed is None:
            break
    return placed


def carried(items: Iterable[Item], previous: Mapping[str, Placed]) -> dict[str, Placed]:
    """Leave words where they stood and let their leaders follow, by their key; new ones wait for `place`.

    For a hand that is still moving: nothing is looked at but the places themselves.
    """
    placed: dict[str, Placed] = {}
    for item in items:
        before = previous.get(item.key)
        if before is not None and before.size < len(item.sizes) and before.anchor < len(item.anchors):
            now = placed_at(
                item, before.size, before.anchor, before.left, before.top, before.first_length, before.covers
            )  # fmt: skip
            placed[item.key] = now if before.clear else replace(now, clear=False)
    return placed


def stands_well(items: Iterable[Item], carried: Mapping[str, Placed], frame: Rect) -> bool:
    """Whether carried words can be shown as they are: all are there, within the frame, near what they are about, and
    clear of each other. What is drawn under them is not looked at.
    """
    placed: dict[str, Placed] = {}
    for item in items:
        one = carried.get(item.key)
        if one is None or one.left < frame.left or one.top < frame.top:
            return False
        if one.box.right > frame.right or one.box.bottom > frame.bottom or _strays(one) or not fits(one, placed):
            return False
        placed[item.key] = one
    return True


def _strays(one: Placed) -> bool:
    """Whether a leader has grown too long for its words to stay where they are."""
    return leader_length(one) > 1.7 * one.first_length + 45.0


def _usual(item: Item) -> Item:
    """Keep from an item the sizes that are for a page without room."""
    kept = len(item.sizes) - item.spare
    return replace(item, sizes=item.sizes[:kept], edges=item.edges[:kept], spare=0) if item.spare else item


def _shortest(item: Item) -> Item:
    """Let an item that must be placed have its shortest words alone, under the same numbers."""
    if not item.kept:
        return item
    return replace(item, only=len(item.sizes) - 1)


def _fill(items: list[Item], taken: Occupancy, placed: dict[str, Placed], *, at_any_price: bool = False) -> str | None:
    """Place items in order; the key of the first one that must be placed and cannot, or None."""
    for item in items:
        cost, found = _placed_near(item, taken, placed)
        if item.kept and cost > _CROWDED_COST:
            found = _placed_anywhere(item, taken, placed, (cost, found))[1]
        if found is None and item.kept:
            if not at_any_price:
                return item.key
            found = _least_bad(item, taken, placed)
        if found is not None:
            placed[item.key] = found
    return None


def _still_good(items: list[Item], taken: Occupancy, previous: Mapping[str, Placed]) -> dict[str, Placed]:
    """Those of the previous places that still serve, by rank."""
    frame = taken.frame
    kept: list[tuple[Item, Placed, float]] = []
    for item in items:
        before = previous.get(item.key)
        if before is None or before.size >= len(item.sizes) or before.anchor >= len(item.anchors):
            continue
        width, height = item.sizes[before.size]
        left = min(before.left, frame.right - width)
        if left >= frame.left and before.top >= frame.top and before.top + height <= frame.bottom:
            kept.append((item, before, left))
    placed: dict[str, Placed] = {}
    if not kept:
        return placed
    boxes = np.array([(left, before.top, *item.sizes[before.size]) for item, before, left in kept]).T
    hard, soft = (cells.tolist() for cells in taken.covered(*boxes))
    for (item, before, left), over_hard, over_soft in zip(kept, hard, soft, strict=True):
        if over_hard or over_soft > before.covers + 6:
            continue
        now = placed_at(item, before.size, before.anchor, left, before.top, before.first_length, over_soft)
        if not _strays(now) and fits(now, placed):
            placed[item.key] = now
    return placed


def _placed_near(item: Item, taken: Occupancy, placed: dict[str, Placed]) -> Priced:
    """Cheapest place round the anchors; shorter words only where the full ones stand badly."""
    directions = _directions(item.towards)
    rings = np.array(_RINGS_PX)
    x = np.repeat(directions[:, 0], len(rings))
    y = np.repeat(directions[:, 1], len(rings))
    gap = np.tile(rings, len(directions))
    penalty = np.repeat(_direction_penalties(directions, item.towards), len(rings))
    anchors = np.array(item.anchors)
    which = np.repeat(np.arange(len(anchors)), len(x))
    price = np.tile(penalty, len(anchors)) + _OTHER_ANCHOR_COST * which
    best: Priced = (math.inf, None)
    for size in range(item.only, len(item.sizes)):
        width, height = item.sizes[size]
        reach = gap + 0.5 * (np.abs(x) * width + np.abs(y) * height)
        left = (anchors[:, :1] + x * reach - 0.5 * width).ravel()
        top = (anchors[:, 1:] + y * reach - 0.5 * height).ravel()
        best = _best(item, size, which, left, top, price + size * _SHORTER_COST, taken, placed, best)
        if best[0] < _CROWDED_COST:
            break
    return best


def _placed_anywhere(item: Item, taken: Occupancy, placed: dict[str, Placed], best: Priced) -> Priced:
    """Cheapest place in the whole frame, or the `best` so far."""
    for size in range(item.only, len(item.sizes)):
        width, height = item.sizes[size]
        left, top = _everywhere(taken, width, height)
        free = _beside(placed, left, top, width, height) & (taken.covered(left, top, width, height)[0] == 0)
        left, top = left[free], top[free]
        anchors = min(len(item.anchors), 3)
        which = np.repeat(np.arange(anchors), len(left))
        left, top = np.tile(left, anchors), np.tile(top, anchors)
        price = np.full(len(left), size * _SHORTER_COST + _ANYWHERE_COST)
        best = _best(item, size, which, left, top, price, taken, placed, best)
        if best[0] < _CROWDED_COST:
            break
    return best


def _everywhere(taken: Occupancy, width: float, height: float) -> tuple[Floats, Floats]:
    frame = taken.frame
    xs = np.arange(frame.left, max(frame.right - width, frame.left) + 1.0, 14.0)
    ys = np.arange(frame.top, max(frame.bottom - height, frame.top) + 1.0, 9.0)
    left, top = np.meshgrid(xs, ys)
    return left.ravel(), top.ravel()


def _least_bad(item: Item, taken: Occupancy, placed: dict[str, Placed]) -> Placed:
    """Place where the shortest words cover the least, where there is no free one."""
    size = len(item.sizes) - 1
    width, height = item.sizes[size]
    left, top = _everywhere(taken, width, height)
    hard, soft = taken.covered(left, top, width, height)
    cost = 20.0 * hard + soft + 0.02 * np.hypot(left - item.anchors[0][0], top - item.anchors[0][1])
    for other in placed.values():
        across = np.minimum(left + width, other.left + other.width) - np.maximum(left, other.left)
        down = np.minimum(top + height, other.top + other.height) - np.maximum(top, other.top)
        cost += 5.0 * np.maximum(across, 0.0) * np.maximum(down, 0.0)
    order = np.argsort(cost, kind="stable")[:500].tolist()
    bare = replace(item, leader=False)  # the last resort: the words alone, which name what they are about
    for candidate in (item, bare):
        for i in order:
            made = placed_at(candidate, size, 0, float(left[i]), float(top[i]), 0.0, int(soft[i]))
            if fits(made, placed):
                return replace(made, clear=not hard[i])
    best = order[0]
    return replace(placed_at(bare, size, 0, float(left[best]), float(top[best]), 0.0, int(soft[best])), clear=False)


def _best(
    item: Item,
    size: int,
    which: Indices,
    left: Floats,
    top: Floats,
    penalty: Floats,
    taken: Occupancy,
    placed: dict[str, Placed],
    best: Priced,
) -> Priced:
    """Cheapest of the candidates that is free, or the `best` so far; `which` is each one's anchor."""
    width, height = item.sizes[size]
    frame = taken.frame
    starts = np.array(item.anchors)[which]
    ends = leader_ends(starts, left, top, width, height, item.widths(size))
    length = np.hypot(*(ends - starts).T)
    most = math.inf if item.kept else _YIELD_COST if item.rank < _SPARE_RANK else _SPARE_COST
    # What lies under words and leader only adds to the cost, so what is too dear without it is looked at no further.
    cost = length + penalty
    inside = (left >= frame.left) & (top >= frame.top) & (left + width <= frame.right) & (top + height <= frame.bottom)
    near = np.nonzero(inside & (cost < best[0]) & (cost <= most))[0]
    near = near[_beside(placed, left[near], top[near], width, height)]
    hard, soft = taken.covered(left[near], top[near], width, height)
    free = hard == 0
    near, soft = near[free], soft[free]
    cost = cost[near] + _SOFT_COST * soft
    order = np.argsort(cost, kind="stable")
    near, soft, cost = near[order], soft[order], cost[order]
    at, count = 0, _AT_ONCE
    while at < len(near) and cost[at] < best[0] and cost[at] <= most:
        some = near[at : at + count]
        whole = cost[at : at + count]
        if item.leader:
            over_hard, over_soft = taken.crossed(starts[some], ends[some])
            whole = whole + (_HARD_LEADER_COST * over_hard + _SOFT_LEADER_COST * over_soft) * length[some]
        worth = np.nonzero((whole < best[0]) & (whole <= most))[0]
        worth = worth[np.argsort(whole[worth], kind="stable")]
        lines = np.column_stack((starts[some], ends[some]))
        for i in _promising(worth, placed, left[some], top[some], width, height, lines, leader=item.leader):
            one = some[i]
            made = placed_at(
                item, size, int(which[one]), float(left[one]), float(top[one]), float(length[one]), int(soft[at + i])
            )  # fmt: skip
            if fits(made, placed):
                best = float(whole[i]), made
                break
        at, count = at + count, 4 * count
    return best


def _promising(
    order: Indices,
    placed: Mapping[str, Placed],
    left: Floats,
    top: Floats,
    width: float,
    height: float,
    lines: Floats,
    *,
    leader: bool,
) -> Iterator[int]:
    """Candidates in their order: the first few unseen, then all but those that `fits` would refuse for a leader."""
    yield from order[:_FEW].tolist()
    order = order[_FEW:]
    if not order.size:
        return
    g = GAP_PX
    left, top, lines = left[order], top[order], lines[order]
    boxes = np.column_stack((left - g, top - g, left + width + g, top + height + g))
    others = np.array([one.leader for one in placed.values() if one.leader is not None], np.float64).reshape(-1, 1, 4)
    bad = cut_boxes(others, boxes).any(axis=0)
    if leader:
        grown = [(o.left - g, o.top - g, o.left + o.width + g, o.top + o.height + g) for o in placed.values()]
        cut = cut_boxes(lines, np.array(grown, np.float64).reshape(-1, 1, 4)).any(axis=0)
        drawn = np.hypot(*(lines[:, 2:] - lines[:, :2]).T) > LEAST_LEADER_PX
        bad |= drawn & (cut | lines_cross(lines, others).any(axis=0))
    yield from order[~bad].tolist()


def _beside(placed: Mapping[str, Placed], left: Floats, top: Floats, width: float, height: float) -> Mask:
    """Which boxes of one size keep clear of all words that are placed already; `fits` sees to the leaders."""
    if not placed:
        return np.ones(len(left), np.bool_)
    g = GAP_PX
    boxes = np.array([(o.left - g, o.top - g, o.left + o.width + g, o.top + o.height + g) for o in placed.values()])
    x0, y0, x1, y1 = boxes.T[..., None]
    over = (left < x1) & (left + width > x0) & (top < y1) & (top + height > y0)
    return np.asarray(~over.any(axis=0))


def _directions(towards: tuple[tuple[float, float], ...]) -> Floats:
    turn = np.arange(_TURNS) * (2.0 * np.pi / _TURNS)
    ring = np.column_stack((np.cos(turn), np.sin(turn)))
    wanted = np.array(towards, np.float64).reshape(-1, 2)
    return np.concatenate((wanted / np.maximum(np.hypot(wanted[:, :1], wanted[:, 1:]), 1e-9), ring))


def _direction_penalties(directions: Floats, towards: tuple[tuple[float, float], ...]) -> Floats:
    wanted = directions[: len(towards)]
    away = _DIRECTION_COST * (1.0 - directions @ wanted.T) + _SECOND_CHOICE * np.arange(len(towards))
    penalties: Floats = away.min(axis=1)
    return penalties
