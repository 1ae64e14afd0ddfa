"""Which moving bodies are held against which obstacle, and the least gap between them.

The shaft's sections are swept over the travel in both views. The powertrain does not move with the axle; its outline
counts in side view where its dimensions were entered, since a guessed outline can judge nothing.
"""

from dataclasses import dataclass

import numpy as np

from geometry.clearance import YOKE_SHARE, Body, Gap, least_gap, shaft_outline
from geometry.document import Build
from geometry.document.quantity import SidePoint
from geometry.document.running_gear import Tube
from geometry.frames import Floats, Points
from geometry.outline import engine_outline_mm, gearbox_outline_mm
from geometry.pose import Pose, is_front_axle
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
    seen = {view: _shaft(centres, positions, tubes, view) for view in {obstacle.view for obstacle in build.obstacles}}
    still = _powertrain(build, planned)
    return tuple(
        _nearest(seen[obstacle.view], still if obstacle.view == "side" else [], obstacle.outline_mm)
        for obstacle in build.obstacles
    )


Named = tuple[str, Body]


def _nearest(shaft: list[Named] | None, still: list[Named], shape: tuple[SidePoint, ...]) -> BodyGap | None:
    """The body that comes nearest, with the least gap of all bodies along the travel; None without a shaft."""
    if shaft is None:
        return None
    gaps = [(name, least_gap(body, shape)) for name, body in (*shaft, *still)]
    along = gaps[0][1].along_mm
    for _, gap in gaps[1:]:
        # What does not move with the axle has one gap for the whole travel.
        along = np.minimum(along, gap.along_mm)
    name, nearest = min(gaps, key=lambda one: one[1].least_mm)
    return BodyGap(nearest.least_mm, nearest.at_travel_mm, along, name)


def _shaft(centres: Points | None, positions: Floats, tubes: tuple[Tube | None, ...], view: str) -> list[Named] | None:
    """The shaft's sections in a view, over the travel; None where their places or tubes are not known."""
    if centres is None:
        return None
    bodies = []
    for index, tube in enumerate(tubes):
        diameter = None if tube is None else tube.outer_diameter_mm
        if diameter is None:
            return None
        outline = shaft_outline(centres[index], centres[index + 1], diameter, YOKE_SHARE * diameter, VIEWS[view])
        name = "the shaft" if len(tubes) == 1 else f"the {('front', 'rear')[index]} shaft section"
        bodies.append((name, Body(outline, positions)))
    return bodies


def _powertrain(build: Build, planned: Pose) -> list[Named]:
    """Gearbox and engine in side view, where their dimensions were entered."""
    # Those run from the bell housing to a joint at the rear, so they cannot be hung on a front output.
    if build.powertrain is None or is_front_axle(build):
        return []
    named = (("the gearbox", gearbox_outline_mm), ("the engine", engine_outline_mm))
    outlines = [(name, outline(build.powertrain, planned, entered_only=True)) for name, outline in named]
    return [(name, Body(corners[None], np.zeros(1))) for name, corners in outlines if corners is not None]
