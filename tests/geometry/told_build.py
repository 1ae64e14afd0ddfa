"""The numbers and the picture of a build without findings, remedies and set-points."""

from dataclasses import fields

import numpy as np

from geometry.document import Build
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.words import answer
from geometry.words.brackets import behind_of
from geometry.words.order import order_of
from geometry.words.picture import picture
from geometry.words.place import Place, Torque, at_ride
from geometry.words.posed import posed
from geometry.words.solution import SetPoints, Solution
from geometry.words.told import Told

POSITIONS = 81
NOTHING = SetPoints(**{field.name: None for field in fields(SetPoints)})


def told_of(build: Build, positions: int = POSITIONS) -> Told:
    """The build as the one row of its facts, judged by nothing."""
    with np.errstate(all="ignore"):
        return Told(build, Facts(variants(build), positions), {})


def answered(told: Told, place: Place | None = None) -> Solution:
    """The whole answer at ride height, or at another place, but for what sentences and remedies make."""
    with np.errstate(all="ignore"):
        here = at_ride(told) if place is None else place
        return Solution(
            verdict="unknown",
            says="",
            angles=answer.angles(told, here),
            joints=answer.joints(told, here),
            shaft=answer.shaft(told, here),
            motion=answer.motion(told, here),
            travel=answer.travel(told),
            windup=answer.windup(told),
            setpoints=NOTHING,
            measured=NOTHING,
            order=order_of(told),
            findings=(),
            picture=picture(told, here),
            behind=behind_of(told),
        )


def answer_of(build: Build) -> Solution:
    """The same, of a build."""
    return answered(told_of(build))


def moved(build: Build, travel_mm: float, torque: Torque = "none") -> Solution | None:
    """The build at a place of its travel."""
    told = told_of(build)
    return posed(told, answered(told), travel_mm, torque)
