"""Which moving bodies are held against which obstacle, and the least gap between them.

The shaft's sections are swept over the travel in both views. The powertrain does not move with the axle; its outline
counts in side view where its dimensions were entered, since a guessed outline can judge nothing.
"""

from dataclasses import dataclass, replace

import numpy as np

from geometry.clearance import YOKE_SHARE, BodyAt, Gap, least_gap, shaft_outline
from geometry.document import Build
from geometry.frames import Floats
from geometry.outline import engine_outline_mm, gearbox_outline_mm
from geometry.pose import Setting, carried, placed
from geometry.ride import Ride, sweep
from geometry.running_gear import Tube
from geometry.travel import TravelFacts

VIEWS = {"side": (0, 2), "top": (0, 1)}


@dataclass(frozen=True, slots=True)
class BodyGap(Gap):
    """A gap, and what it is that comes near."""

    what: str


def obstacle_gaps(
    build: Build, at: Ride, ride: Setting, travel: TravelFacts | None, tubes: tuple[Tube | None, ...]
) -> tuple[BodyGap | None, ...]:
    """Least gap of shaft and powertrain to each obstacle of the build, in its order; None where it cannot be known."""
    if not build.obstacles:
        return ()
    positions = np.zeros(1) if travel is None else travel.axle_mm
    return tuple(
        _nearest([_shaft(build, at, ride, positions, tubes, view, shape), *_powertrain(build, ride, view, shape)])
        for view, shape in ((obstacle.view, obstacle.outline_mm) for obstacle in build.obstacles)
    )


def _nearest(found: list[BodyGap | None]) -> BodyGap | None:
    """The body that comes nearest, with the least gap of all bodies along the travel; None without a shaft."""
    if found[0] is None:
        return None
    known = [gap for gap in found if gap is not None]
    along = found[0].along_mm
    for gap in known:
        # What does not move with the axle has one gap for the whole travel.
        along = np.minimum(along, gap.along_mm)
    nearest = min(known, key=lambda gap: gap.least_mm)
    return replace(nearest, along_mm=along)


def _shaft(
    build: Build,
    at: Ride,
    ride: Setting,
    positions: Floats,
    tubes: tuple[Tube | None, ...],
    view: str,
    shape: tuple[tuple[float, float], ...],
) -> BodyGap | None:
    if any(tube is None or tube.outer_diameter_mm is None for tube in tubes):
        return None
    if placed(build, ride).joint_centres_mm is None or not np.isfinite(ride.axle_shift_mm).all():
        return None
    nearest: BodyGap | None = None
    for index, tube in enumerate(tubes):
        diameter = 0.0 if tube is None else tube.outer_diameter_mm or 0.0
        gap = least_gap(_section_body(build, at, ride, index, diameter, view), positions, shape)
        if nearest is None or gap.least_mm < nearest.least_mm:
            name = "the shaft" if len(tubes) == 1 else f"the {('front', 'rear')[index]} shaft section"
            along = gap.along_mm if nearest is None else np.minimum(gap.along_mm, nearest.along_mm)
            nearest = BodyGap(gap.least_mm, gap.at_travel_mm, along, name)
        else:
            nearest = BodyGap(
                nearest.least_mm, nearest.at_travel_mm, np.minimum(gap.along_mm, nearest.along_mm), nearest.what
            )
    return nearest


def _section_body(build: Build, at: Ride, ride: Setting, index: int, diameter_mm: float, view: str) -> BodyAt:
    def corners(travel_mm: Floats) -> Floats:
        if len(travel_mm) == 1 and travel_mm[0] == 0.0:
            rows = ride
        else:
            swept = sweep(at, travel_mm)
            assert swept is not None  # noqa: S101  there is a travel, so there is a suspension
            rows = carried(ride, swept.shift_mm, swept.turn_deg)
        centres = placed(build, rows).joint_centres_mm
        assert centres is not None  # noqa: S101  the caller asked first
        return shaft_outline(centres[index], centres[index + 1], diameter_mm, YOKE_SHARE * diameter_mm, VIEWS[view])

    return corners


def _powertrain(build: Build, ride: Setting, view: str, shape: tuple[tuple[float, float], ...]) -> list[BodyGap | None]:
    if view != "side" or build.powertrain is None:
        return []
    pose = placed(build, ride)
    gaps: list[BodyGap | None] = []
    for outline, name in ((gearbox_outline_mm, "the gearbox"), (engine_outline_mm, "the engine")):
        corners = outline(build.powertrain, pose, entered_only=True)
        if corners is not None:
            gap = least_gap(lambda travel, fixed=corners: fixed[None].repeat(len(travel), axis=0), np.zeros(1), shape)  # type: ignore[misc]
            gaps.append(BodyGap(gap.least_mm, 0.0, gap.along_mm, name))
    return gaps
