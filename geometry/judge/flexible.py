"""Hoses, cables and wires from frame to axle: how far their ends come apart over the travel.

With both wheels together, and with either hanging at full droop while the other is anywhere: the axle is taken to be
rigid, and to roll on its stops as where shocks are crossed. How the frame stands in another state changes nothing, as
the travel ends at the same stops.
"""

from functools import reduce
from typing import NamedTuple

import numpy as np

from geometry.judge.facts import Facts
from geometry.judge.kinds import point
from geometry.judge.limits import LIMITS, SLACK_SHARE
from geometry.judge.table import Table
from geometry.mechanics.tilted import carried, ends_apart
from geometry.mechanics.vectors import NAN, Floats, Vector, minus, norm, number, plus

TOGETHER, LEFT_HANGS, RIGHT_HANGS = range(3)
"""How the wheels stand: both alike, or one of them at full droop."""

_LEVEL = Vector(number(0.0), number(1.0), number(0.0))


class Farthest(NamedTuple):
    """The farthest that the ends of a line come apart as far as it is known, mm, and what it may be besides."""

    known_mm: Floats
    others_mm: tuple[Floats, ...]

    @property
    def most_mm(self) -> Floats:
        """The farthest that they may come apart at all; nan where that is not known."""
        most = self.known_mm
        for other in self.others_mm:
            most = np.maximum(most, other)
        return most


def lines(f: Facts, table: Table) -> None:
    """Slack of every flexible line with its ends farthest apart."""
    hold = number(LIMITS["line_slack"].hold)
    for index in range(len(f.v.build.flexible_lines)):
        apart = farthest(f, index)
        free = f.v[f"flexible_lines.{index}.free_length_mm"]
        others = tuple(free - one for one in apart.others_mm)
        table.add(
            "line_slack", "flexible_lines", free - apart.known_mm, clear=slack_wanted_mm(f, index, apart.known_mm),
            hold=hold, others=others, suffix=f"_{index + 1}",
        )  # fmt: skip


def slack_wanted_mm(f: Facts, index: int, apart_mm: Floats) -> Floats:
    """Slack wanted of a line whose ends come so far apart, mm: as entered or usual, never less than what holds."""
    limit = LIMITS["line_slack"]
    usual = np.maximum(limit.clear, SLACK_SHARE * apart_mm)
    entered = f.v[f"flexible_lines.{index}.slack_mm"]
    return np.where(np.isnan(entered), usual, np.maximum(entered, limit.hold))


def farthest(f: Facts, index: int) -> Farthest:
    """How far a line's ends come apart; at ride height alone, which settles nothing, where no travel is known."""
    at_ride = _apart(f, index, f.axle_turn_deg, f.axle.centre, _LEVEL)
    if not f.travels.any():
        return Farthest(at_ride, (NAN * at_ride,))
    ways = []
    for wheels in (TOGETHER, LEFT_HANGS, RIGHT_HANGS):
        worst, besides = f.worst_of(-apart_mm(f, index, wheels))
        ways.append((-worst, *(-one for one in besides)))
    # The wheels come to stand in all of these ways: the farthest of them counts, known or as it may be besides.
    known, *others = (reduce(how, way) for way in zip(*ways, strict=True) for how in (np.fmax, np.maximum))
    return Farthest(np.where(np.isnan(known), at_ride, known), tuple(others))


def apart_mm(f: Facts, index: int, wheels: int) -> Floats:
    """How far a line's ends are apart over the travel, of the wheel that does not hang, mm, (sweeps, places, rows)."""
    sweep, ride = f.sweep, f.ride
    x, z, turn, reached = np.broadcast_arrays(sweep.shift.x, sweep.shift.z, sweep.turn_deg, sweep.reachable)
    if wheels == TOGETHER:
        middle, leans = sweep.shift, _LEVEL
    else:
        # The lowest place that is reached is where the other wheel hangs.
        low = np.argmax(reached, axis=0)[None]
        low_x, low_z, low_turn = (np.take_along_axis(part, low, axis=0) for part in (x, z, turn))
        right = 1.0 if wheels == LEFT_HANGS else -1.0
        leans = ends_apart(f.fitted.spread_mm, right * (x - low_x), right * (z - low_z))
        x, z, turn = (x + low_x) / 2.0, (z + low_z) / 2.0, (turn + low_turn) / 2.0
        middle = Vector(x, f.sideways(z + ride.shift.z, x + ride.shift.x) - ride.shift.y, z)
    return _apart(f, index, f.axle_turn_deg + turn + f.wound_deg, plus(f.axle.centre, middle), leans)


def _apart(f: Facts, index: int, turn_deg: Floats, centre: Vector, leans: Vector) -> Floats:
    """Distance of a line's ends with the axle turned, its middle at a place and tilted."""
    held, frame = (point(f.v, f"flexible_lines.{index}.{end}_point_mm") for end in ("axle", "frame"))
    arm = minus(held, point(f.v, "axle.centre_mm"))
    return norm(minus(plus(centre, carried(arm, turn_deg, leans)), frame))
