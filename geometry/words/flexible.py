"""Hoses, cables and wires in words: where their ends come farthest apart, and the length to buy."""

from math import ceil
from typing import cast

import numpy as np

from geometry.judge.flexible import LEFT_HANGS, RIGHT_HANGS, TOGETHER, apart_mm, farthest, slack_wanted_mm
from geometry.judge.states import hangs
from geometry.words.one import Place, worst_place
from geometry.words.solution import LineToBuy
from geometry.words.told import Told
from geometry.words.wording import MM_PER_INCH

_HANGS = {LEFT_HANGS: ("left", "right"), RIGHT_HANGS: ("right", "left")}
_STEP_MM = 10.0
"""Hoses are sold by the inch, or in steps of 10 mm: common practice."""


def where_farthest(told: Told, index: int) -> tuple[str, Place | None]:
    """Where a line's ends come farthest apart, in words, and over the travel of both wheels alike; nowhere of one alone."""
    facts = told.facts
    if not told.at(facts.travels):
        return Place(0.0, wound=False).words(told), Place(0.0, wound=False)
    found: list[tuple[float, int, Place]] = []
    for wheels in (TOGETHER, LEFT_HANGS, RIGHT_HANGS):
        apart = apart_mm(facts, index, wheels)
        place = worst_place(told, -apart)
        if place is not None:
            there = int(np.argmin(np.abs(told.at(facts.sweep.travel_mm) - place.travel_mm)))
            least = facts.over_windup(-apart)[int(place.wound)]
            found.append((float(told.at(least)[there]), wheels, place))
    # Of equal ones both wheels together.
    _, wheels, place = min(found, key=lambda one: (round(one[0], 6), one[1]))
    if wheels == TOGETHER:
        return place.words(told), place
    low, other = _HANGS[wheels]
    return f"with the {low} wheel at full droop and the {other} one {place.words(told)}", None


def lines_to_buy(told: Told) -> tuple[LineToBuy, ...]:
    """How long each flexible line must be bought, in the build's order. Call under `np.errstate(all="ignore")`."""
    facts, made = told.facts, []
    hung = hangs(facts.v)
    for index in range(len(told.build.flexible_lines)):
        apart = farthest(facts, index)
        most = None if hung else told.number(apart.most_mm)
        wanted = None if most is None else cast("float", told.number(slack_wanted_mm(facts, index, apart.most_mm)))
        step = MM_PER_INCH if told.display.length == "inch" else _STEP_MM
        made.append(
            LineToBuy(
                apart_mm=most,
                where="" if most is None else where_farthest(told, index)[0],
                slack_mm=wanted,
                buy_mm=None if most is None or wanted is None else ceil((most + wanted) / step - 1e-9) * step,
            )
        )
    return tuple(made)
