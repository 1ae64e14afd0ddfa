"""The numbers and the picture of a build without findings, remedies and set-points."""

from dataclasses import fields
from functools import partial

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
from geometry.words.solution import SetPoints, ShaftOrder, Solution
from geometry.words.solve import Work, solved
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
            findings=(),
            picture=picture(told, here),
            on_order=partial(order_of, told),
            behind=behind_of(told),
        )


def answer_of(build: Build) -> Solution:
    """The same, of a build."""
    return answered(told_of(build))


def as_planned(build: Build) -> ShaftOrder:
    """What the shaft of the plan itself is ordered by, whatever is recommended instead."""
    return solved(Work(build), with_ways=False).order


def deeper(whole: Solution, bare: Solution) -> int:
    """How many findings hold in both, but by a twentieth farther beyond their line with what is changed."""
    were = {(one.id, one.part): one for one in bare.findings if one.verdict == "hold"}
    both = [
        (one, were[one.id, one.part]) for one in whole.findings if one.verdict == "hold" and (one.id, one.part) in were
    ]
    return sum(
        abs(now.value - now.limit) > 1.05 * abs(was.value - was.limit)
        for now, was in both
        if None not in {now.value, now.limit, was.value, was.limit}
    )


def moved(build: Build, travel_mm: float, torque: Torque = "none") -> Solution | None:
    """The build at a place of its travel."""
    told = told_of(build)
    return posed(told, answered(told), travel_mm, torque)
