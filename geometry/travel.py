"""The driveline over the axle's travel, droop to bump: one sweep, everything as arrays."""

from typing import NamedTuple

import numpy as np

from geometry.document import Build, value_at
from geometry.frames import Floats, Points, norm
from geometry.motion import lines_sections
from geometry.pose import Setting, carried, is_front_axle
from geometry.ride import Ride, Swept, some_rows, sweep, travel_wants
from geometry.trials import Trials, tried

POSITIONS = 201
"""Positions from full droop to full bump; ride height is always one of them."""


class TravelFacts(NamedTuple):
    """One row for each reachable position, droop first; `ride_row` is ride height.

    `length_mm` is (k-1, n), `slip_left_mm` and `engaged_mm` (n,) or None. `cut_bump_mm` and `cut_droop_mm` say at what
    travel springs, links or lateral link end the sweep before the stops do, or None.
    """

    swept: Swept
    trials: Trials
    ride_row: int
    length_mm: Floats | None
    slip_left_mm: Floats | None
    engaged_mm: Floats | None
    cut_bump_mm: float | None
    cut_droop_mm: float | None

    @property
    def axle_mm(self) -> Floats:
        """Travel of each row, mm, bump positive."""
        return self.swept.travel_mm


def travel_range_mm(build: Build, at: Ride) -> tuple[float, float] | None:
    """Full droop (negative) and full bump from ride height, mm, or None where they are not entered.

    The bump stop stays on the frame, so a lift by spring or shackle adds to the way up to it; over a block the spring,
    which meets the stop, stays where it was. Droop is taken from the new ride height.
    """
    if travel_wants(build):
        return None
    bump, droop = float(value_at(build, "suspension.bump_mm")), float(value_at(build, "suspension.droop_mm"))
    return 0.0 - droop, max(bump + at.stop_gain_mm, 0.0)


def travel_positions_mm(low: float, high: float) -> Floats:
    """Positions from low to high, mm, ascending and nearly even, with nought among them exactly.

    >>> travel_positions_mm(-100.0, 100.0)[[0, 100, 200]].tolist()
    [-100.0, 0.0, 100.0]
    """
    if low >= high:
        return np.zeros(1)
    below = int(
        np.clip(round((POSITIONS - 1) * -low / (high - low)), 1 if low < 0.0 else 0, POSITIONS - 1 - (high > 0.0))
    )
    down = np.linspace(low, 0.0, below + 1)
    return np.concatenate((down, np.linspace(0.0, high, POSITIONS - below)[1:]))


def travelled(build: Build, at: Ride, ride: Setting, measured_mm: Points | None) -> TravelFacts | None:
    """Move the planned build through its travel; None where travel limits or the suspension are not known.

    `measured_mm` holds the joint centres as measured, (k, 1, 3), from which the slip's change counts.
    """
    limits = travel_range_mm(build, at)
    if limits is None:
        return None
    swept = sweep(at, travel_positions_mm(*limits))
    if swept is None:
        return None
    rows, cut_droop, cut_bump = _reached(swept)
    if rows is None:
        return None
    swept = some_rows(swept, rows)
    trials = tried(build, carried(ride, swept.shift_mm, swept.turn_deg))
    centres = trials.pose.joint_centres_mm
    lengths = None if centres is None or not np.isfinite(centres).all() else norm(centres[1:] - centres[:-1])
    left, engaged = _slip(build, lengths, measured_mm)
    row = int(np.argmin(np.abs(swept.travel_mm)))
    return TravelFacts(swept, trials, row, lengths, left, engaged, cut_bump, cut_droop)


def beside_axle(build: Build) -> int:
    """Which section, front to rear, is jointed to the pinion, and so slips."""
    return 0 if is_front_axle(build) else lines_sections(build) - 1


def _reached(swept: Swept) -> tuple[slice | None, float | None, float | None]:
    """Rows around ride height that can be reached, and the travel at which the sweep ends early, down and up."""
    travel, good = swept.travel_mm, swept.reachable
    at = int(np.argmin(np.abs(travel)))
    if not good[at]:
        return None, None, None
    bad = np.flatnonzero(~good)
    below, above = bad[bad < at], bad[bad > at]
    first = int(below[-1]) + 1 if below.size else 0
    last = int(above[0]) - 1 if above.size else len(travel) - 1
    return (
        slice(first, last + 1),
        float(travel[first]) if below.size else None,
        float(travel[last]) if above.size else None,
    )


def _slip(build: Build, lengths: Floats | None, measured: Points | None) -> tuple[Floats | None, Floats | None]:
    """Slip left before the spline bottoms, and spline still engaged, (n,), mm.

    The engagement entered is the measured vehicle's, so its length as measured is what the change counts from.
    """
    slip = None if build.shaft is None else build.shaft.slip
    if slip is None or lengths is None or slip.engaged_mm is None:
        return None, None
    assert measured is not None  # noqa: S101  the travel had lengths, so the measured build has
    beside = beside_axle(build)
    engaged = slip.engaged_mm - (lengths[beside] - norm(measured[beside + 1, 0] - measured[beside, 0]))
    return None if slip.stroke_mm is None else slip.stroke_mm - engaged, engaged
