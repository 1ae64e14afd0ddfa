"""A solution moved to a place of its travel, under torque."""

from dataclasses import replace

import numpy as np

from geometry.words import answer
from geometry.words.brackets import behind_of
from geometry.words.picture import picture
from geometry.words.place import Torque, place_at
from geometry.words.solution import Solution
from geometry.words.told import Told


def posed(told: Told, whole: Solution, travel_mm: float, torque: Torque = "none") -> Solution | None:
    """The solution with its angles, joints, shaft, motion and picture at a place of the travel, under torque.

    What it looks like from behind in numbers is told of ride height, as the row has it. Findings, set-points, plots and verdict stay those of the whole. None where the axle cannot be moved there.

    Parameters
    ----------
    told
        The row that is moved; of a build under the hand, which is not judged yet, with no findings.
    travel_mm
        From ride height after the plan, bump positive; exact, and not held to the stops.
    torque
        Whether the axle is wound up, by cruise torque or by launch torque as reckoned.
    """
    with np.errstate(all="ignore"):
        place = place_at(told, travel_mm, torque)
        if place is None:
            return None
        return replace(
            whole,
            angles=answer.angles(told, place),
            joints=answer.joints(told, place),
            shaft=answer.shaft(told, place),
            motion=answer.motion(told, place),
            picture=picture(told, place),
            behind=behind_of(told),
        )
