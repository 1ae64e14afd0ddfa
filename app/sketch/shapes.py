"""Outlines of drawn things from two or three of their points, each (n, 2) in mm."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from app.sketch.primitives import Floats

Pair = tuple[float, float]


@lru_cache(maxsize=8)
def _unit_circle(sides: int) -> Floats:
    turn = np.linspace(0.0, 2.0 * np.pi, sides, endpoint=False)
    points = np.column_stack((np.cos(turn), np.sin(turn)))
    points.setflags(write=False)
    return points


@lru_cache(maxsize=1024)
def polyline(*points: Pair) -> Floats:
    """Points as an (n, 2) array, read only: the same array for the same points, so that what stood still is known."""
    made = np.array(points, np.float64).reshape(-1, 2)
    made.setflags(write=False)
    return made


@lru_cache(maxsize=256)
def circle(centre: Pair, radius: float, sides: int = 32) -> Floats:
    """Regular outline round a centre, as `polyline`."""
    made: Floats = radius * _unit_circle(sides) + np.array(centre)
    made.setflags(write=False)
    return made


def heading(start: Pair, end: Pair) -> tuple[Pair, float]:
    """Unit direction from one point to another and their distance; the station axis where they are one point."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    span = math.hypot(dx, dy)
    return ((dx / span, dy / span), span) if span > 0.0 else ((1.0, 0.0), 0.0)


def along(start: Pair, direction: Pair, distance: float, aside: float = 0.0) -> Pair:
    """Point at a distance along a direction and aside to its left."""
    return (
        start[0] + distance * direction[0] - aside * direction[1],
        start[1] + distance * direction[1] + aside * direction[0],
    )


def profile(start: Pair, direction: Pair, stations: tuple[tuple[float, float], ...]) -> Floats:
    """Closed outline symmetric about a line, from (distance along, half width) pairs."""
    table = np.array(stations)
    ahead, half = table[:, 0], table[:, 1]
    d = np.array(direction)
    n = np.array((-d[1], d[0]))
    middle = np.array(start) + ahead[:, None] * d
    return np.concatenate((middle + half[:, None] * n, (middle - half[:, None] * n)[::-1]))


def sector(apex: Pair, one: Pair, other: Pair, radius: float) -> tuple[Floats, Floats, Pair]:
    """Filled sector between two unit directions, its arc, and the direction halfway between them."""
    first, second = math.atan2(one[1], one[0]), math.atan2(other[1], other[0])
    turn = math.remainder(second - first, 2.0 * math.pi)
    steps = max(3, 2 + round(abs(turn) / 0.06))
    angle = first + np.linspace(0.0, turn, steps)
    arc = np.array(apex) + radius * np.column_stack((np.cos(angle), np.sin(angle)))
    middle = first + 0.5 * turn
    return np.concatenate((np.array(apex)[None], arc)), arc, (math.cos(middle), math.sin(middle))


def cross(centre: Pair, direction: Pair, arm: float) -> tuple[Floats, Floats]:
    """Two strokes of a joint's cross, one along and one square to a direction."""
    return (
        polyline(along(centre, direction, -arm), along(centre, direction, arm)),
        polyline(along(centre, direction, 0.0, -arm), along(centre, direction, 0.0, arm)),
    )


def capsule(centre: Pair, direction: Pair, half_length: float, radius: float) -> Floats:
    """Outline of a rod with round ends."""
    a = math.atan2(direction[1], direction[0])
    left = np.linspace(a + 0.5 * np.pi, a + 1.5 * np.pi, 13)
    right = np.linspace(a - 0.5 * np.pi, a + 0.5 * np.pi, 13)
    d = half_length * np.array(direction)
    ends = (
        np.column_stack((np.cos(left), np.sin(left))) * radius - d,
        np.column_stack((np.cos(right), np.sin(right))) * radius + d,
    )
    points: Floats = np.concatenate(ends) + np.array(centre)
    return points
