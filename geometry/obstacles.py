"""Which moving bodies are held against which obstacle, and the least gap between them.

The shaft's sections are swept over the travel in both views. The powertrain does not move with the axle; its outline
counts in side view where its dimensions were entered, since a guessed outline can judge nothing.
"""

from dataclasses import dataclass, replace

import numpy as np

from geometry.clearance import YOKE_SHARE, Gap, least_gap, shaft_outline
from geometry.document import Build
from geometry.frames import Floats, Points
from geometry.outline import engine_outline_mm, gearbox_outline_mm
from geometry.pose import Pose, is_front_axle
from geometry.quantity import SidePoint
from geometry.running_gear import Tube
from geometry.travel import TravelFacts

VIEWS = {"side": (0, 2), "top": (0, 1)}


@dataclass(frozen=True, slots=True)
class BodyGap(Gap):
    """A gap, and what it is that comes near."""

    what: str


def obstacle_gaps(
    build: Build, planned: Pose, travel: TravelFacts | None, tubes: tuple[Tube | None, ...]
) -> tuple[BodyGap | None, ...]:
    """Least gap of shaft and powertrain to each obstacle of the build, in its order; None where it cannot be known.

    `planned` is ride height, one row; with a travel the shaft is taken over all of it.
    """
    if not build.obstacles:
        return ()
    positions = np.zeros(1) if travel is None else travel.axle_mm
    centres = planned.joint_centres_mm if travel is None else travel.trials.pose.joint_centres_mm
    if centres is not None and not np.isfinite(centres).all():
        centres = None
    return tuple(
        _nearest([_shaft(centres, positions, tubes, view, shape), *_powertrain(build, planned, view, shape)])
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
    centres: Points | None, positions: Floats, tubes: tuple[Tube | None, ...], view: str, shape: tuple[SidePoint, ...]
) -> BodyGap | None:
    if centres is None:
        return None
    nearest: BodyGap | None = None
    for index, tube in enumerate(tubes):
        diameter = None if tube is None else tube.outer_diameter_mm
        if diameter is None:
            return None
        body = shaft_outline(centres[index], centres[index + 1], diameter, YOKE_SHARE * diameter, VIEWS[view])
        gap = least_gap(body, positions, shape)
        name = "the shaft" if len(tubes) == 1 else f"the {('front', 'rear')[index]} shaft section"
        if nearest is None:
            nearest = BodyGap(gap.least_mm, gap.at_travel_mm, gap.along_mm, name)
        else:
            along = np.minimum(gap.along_mm, nearest.along_mm)
            worst = BodyGap(gap.least_mm, gap.at_travel_mm, along, name) if gap.least_mm < nearest.least_mm else nearest
            nearest = replace(worst, along_mm=along)
    return nearest


def _powertrain(build: Build, planned: Pose, view: str, shape: tuple[SidePoint, ...]) -> list[BodyGap | None]:
    # Entered dimensions run from the bell housing to a joint at the rear, so they cannot be hung on a front output.
    if view != "side" or build.powertrain is None or is_front_axle(build):
        return []
    gaps: list[BodyGap | None] = []
    for outline, name in ((gearbox_outline_mm, "the gearbox"), (engine_outline_mm, "the engine")):
        corners = outline(build.powertrain, planned, entered_only=True)
        if corners is not None:
            gap = least_gap(corners[None], np.zeros(1), shape)
            gaps.append(BodyGap(gap.least_mm, 0.0, gap.along_mm, name))
    return gaps
