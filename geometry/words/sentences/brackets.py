"""Sentences on shocks, torque bars and the lateral link."""

from collections.abc import Sequence

import numpy as np

from geometry.document import Build
from geometry.document.brackets import Shock, TorqueBar
from geometry.judge import fitted
from geometry.judge.brackets import against
from geometry.judge.codes import Key
from geometry.judge.limits import LIMITS
from geometry.mechanics.shocks import damping_share
from geometry.mechanics.shocks import plumb_deg as off_plumb_deg
from geometry.mechanics.trade_sizes import shortest_closed_mm
from geometry.mechanics.vectors import number as as_number
from geometry.words.one import One
from geometry.words.sentences.motion import so_far
from geometry.words.sentences.shaft import launch_torque
from geometry.words.told import Told
from geometry.words.wants import not_judged
from geometry.words.where import obstacle_of, place_of
from geometry.words.wording import capital, listed, number, worded

ENGINEER = "What bracket and weld carry that is for a licensed engineer, or the local rule, to say."


def name_in(some: Sequence[Shock | TorqueBar], index: int) -> str:
    """What a shock or bar is called: its name, with its number where several have that name.

    >>> name_in((Shock(name="left"), Shock(name="right")), 1), name_in((Shock(), Shock()), 1), name_in((Shock(),), 0)
    ('right', 'shock 2', 'shock')
    """
    name = some[index].name
    return f"{name} {index + 1}" if sum(one.name == name for one in some) > 1 else name


def titled(build: Build, key: Key, title: str) -> str:
    """A title with whose it is, where there are several."""
    some: Sequence[Shock | TorqueBar] = getattr(build, key[1])
    return f"{title}, {name_in(some, obstacle_of(key))}" if len(some) > 1 else title


def the_part(some: Sequence[Shock | TorqueBar], index: int) -> str:
    """A shock or bar as a sentence calls it.

    >>> the_part((Shock(name="left shock"),), 0), the_part((Shock(name="left"),), 0)
    ('the left shock', 'the shock “left”')
    """
    name, kind = name_in(some, index), "shock" if isinstance(some[index], Shock) else "torque bar"
    return f"the {name}" if kind in name.lower() else f"the {kind} “{name}”"


def _the(one: One) -> str:
    return the_part(getattr(one.told.build, one.key[1]), obstacle_of(one.key))


def _not_judged(one: One, extra: str = "") -> str:
    more = f"This is for {_the(one)}." if len(getattr(one.told.build, one.key[1])) > 1 else ""
    return not_judged(one, " ".join(part for part in (more, extra) if part))


def _shock(one: One) -> fitted.Shock:
    return one.told.facts.fitted.shocks[obstacle_of(one.key)]


def _bar(one: One) -> fitted.Bar:
    return one.told.facts.fitted.bars[obstacle_of(one.key)]


# ---------------------------------------------------------------------- shocks


def shock_end(one: One) -> str:
    """Whether a shock is pushed or pulled to its end over the travel."""
    if one.verdict == "unknown" or one.value is None or (place := place_of(one)) is None:
        return _not_judged(one, so_far(one))
    closing = one.id == "shock_bump"
    where = f"{capital(place.words(one.told))}{',' if place.wound else ''}"
    if one.value <= 0.0:
        end = "in" if closing else "out"
        then = "the stop, which breaks it or its mounts" if closing else "the strap, which tears it or its mounts"
        return f"{where} {_the(one)} is {'pushed' if closing else 'pulled'} right {end}, {one.text(-one.value)} short: it becomes {then}; {one.wanted} to spare."
    end = "pushed right in" if closing else "pulled right out"
    does = {"clear": "", "caution": ", which rubber in its eyes may use up", "hold": ", so little that it may strike"}
    return f"{where} {_the(one)} has {one.worded} left before it is {end}{does[one.verdict]}; {one.wanted}."


def shock_crossed(one: One) -> str:
    """Whether a shock has room with one side in bump and the other in droop."""
    if one.verdict == "unknown" or one.value is None:
        return _not_judged(one, so_far(one))
    shock = _shock(one)
    closes, opens = (float(np.fmin.reduce(one.told.at(spare))) for spare in shock.crossed_spares)
    side = "its side on the bump stop" if closes <= opens else "its side in full droop"
    end = "pushed right in" if closes <= opens else "pulled right out"
    spread = one.other(one.number(one.told.facts.fitted.spread_mm), "mm")
    where = f"With the axle crossed between its stops, {spread} apart, and {side}, {_the(one)}"
    if one.value <= 0.0:
        return f"{where} is {end}, {one.text(-one.value)} short; {one.wanted} to spare."
    does = "" if one.verdict == "clear" else ", little for an axle that is also drawn sideways"
    return f"{where} has {one.worded} left before it is {end}{does}; {one.wanted}."


def shock_place(one: One) -> str:
    """Where ride height lies in a shock's stroke."""
    if one.verdict == "unknown" or one.value is None:
        return _not_judged(one, so_far(one))
    told, shock = one.told, _shock(one)
    long, closed, opened = (told.number(part) or 0.0 for part in (shock.ride_mm, shock.closed_mm, shock.open_mm))
    length = one.other(long, "mm")
    if not closed <= long <= opened:
        way = "long" if long < closed else "short"
        return (
            f"At ride height {length} lie between the eyes of {_the(one)}, which goes from {one.other(closed, 'mm')} "
            f"to {one.other(opened, 'mm')}, {one.worded} off its middle: it is too {way} to be fitted at all; {one.wanted}."
        )
    share = 100.0 * (long - closed) / (opened - closed)
    does = {
        "clear": "room both ways",
        "caution": "it has little room one way",
        "hold": "it stands at an end of its stroke",
    }[one.verdict]
    return (
        f"At ride height {_the(one)} is {length} long, with {number(share)} % of its stroke left to push in and "
        f"{number(100.0 - share)} % to pull out, {one.worded} off the middle: {does}; {one.wanted}."
    )


def shock_lean(one: One) -> str:
    """How far a shock leans from the way that its lower eye goes, and what is left of its damping."""
    if one.verdict == "unknown" or one.value is None:
        return _not_judged(one, so_far(one))
    told, shock = one.told, _shock(one)
    kept = number(100.0 * float(damping_share(as_number(one.value))))
    does = {
        "clear": "upright enough",
        "caution": "it works through little of its stroke and damps little",
        "hold": "it hardly damps at all",
    }[one.verdict]
    ratio, alone = told.number(shock.ratio), told.number(shock.ratio_one_wheel)
    moves = "" if ratio is None else f" and moves {number(abs(ratio), 2)} as far as the axle"
    moves += "" if alone is None or not moves else f", {number(abs(alone), 2)} as far as one wheel alone"
    side, behind = (one.other(part, "deg") for part in plumb_deg(told, shock))
    return (
        f"{capital(_the(one))} leans {one.worded} from the way its lower eye goes ({side} off plumb from the side, {behind} "
        f"from behind), so it keeps {kept} % of its damping{moves}: {does}; {one.wanted}."
    )


def plumb_deg(told: Told, shock: fitted.Shock) -> tuple[float | None, float | None]:
    """How far a shock stands off plumb at ride height, from the side, on the tyres, and from behind, degrees."""
    side, behind = off_plumb_deg(shock.frame, shock.eye)
    both = side + told.facts.ride.tilt_deg, behind
    return tuple(None if (one := told.number(part)) is None else abs(one) for part in both)  # type: ignore[return-value]


def fitting(told: Told, key: Key) -> str:
    """Say what lengths a shock must have to fit; nothing where the travel is not known."""
    shock = told.facts.fitted.shocks[obstacle_of(key)]
    wanted = wanted_mm(told, shock)
    if wanted is None:
        return ""
    if wanted[0] <= 0.0:
        return "No shock is so short: other places for its eyes are wanted."
    closed, opened = (worded(part, "mm", told.display) for part in wanted)
    stroke = worded(wanted[1] - wanted[0], "mm", told.display)
    says = f"A shock of at most {closed} closed and at least {opened} open would fit, a stroke of {stroke}"
    if wanted[0] < shortest_closed_mm(wanted[1]):
        return f"{says}: more than shocks of that length have, so other places for its eyes are wanted."
    fit = in_hand(told.build, wanted)
    if fit:
        return f"{says}: of those to be had, {listed([*fit])}. Other places for its eyes would do too."
    return f"{says}{'' if fit is None else ', as none of those to be had is'}; so would other places for its eyes."


def in_hand(build: Build, wanted: tuple[float, float]) -> tuple[str, ...] | None:
    """Names of the shocks to be had that fit; None where none is entered. One without both lengths does not."""
    if not build.shock_stock:
        return None
    closed, opened = wanted
    return tuple(
        one.name
        for one in build.shock_stock
        if one.compressed_mm is not None and one.extended_mm is not None
        if one.compressed_mm <= closed and one.extended_mm >= opened
    )


def wanted_mm(told: Told, shock: fitted.Shock) -> tuple[float, float] | None:
    """The most that a shock may be long closed, and the least open, with what is to be left, mm; None where not known."""
    low, high = (told.number(part) for part in shock.span_mm)
    if low is None or high is None:
        return None
    return low - LIMITS["shock_bump"].clear, high + LIMITS["shock_droop"].clear


# ---------------------------------------------------------------------- torque bars


def bar_bind(one: One) -> str:
    """Whether a torque bar lets the axle go its way."""
    told, bar = one.told, _bar(one)
    nearer, farther = (told.number(part) for part in bar.ends_mm)
    if nearer is None or farther is None or one.value is None:
        return _not_judged(one)
    wants = one.other(one.value / LIMITS["bar_bind"].clear, "mm")
    goes = (
        f"Over the travel the pivots of {_the(one)} come {one.other(abs(min(nearer, 0.0)), 'mm')} nearer and go "
        f"{one.other(max(farther, 0.0), 'mm')} farther apart than at ride height"
    )
    if one.verdict == "unknown":
        return _not_judged(one, f"{goes}, so it wants a float of {wants}.")
    play = told.number(bar.float_mm) or 0.0
    has = f"with its float of {one.other(play, 'mm')}" if play else "without a float"
    does = {
        "clear": "free enough",
        "caution": "its bushes and the springs are pressed",
        "hold": "it binds, lifts the frame or breaks its brackets",
    }[one.verdict]
    more = "" if one.verdict == "clear" else f" A shackle with a float of {wants} would do."
    return f"{goes}, {one.worded} in all: {does}; {has} {one.wanted}.{more}"


def bar_lever(one: One) -> str:
    """A torque bar's lever, and the force that launch torque puts into it and its brackets."""
    told, bar = one.told, _bar(one)
    if one.verdict == "unknown" or one.value is None:
        return _not_judged(one)
    way = "below" if (told.number(bar.lever_mm) or 0.0) >= 0.0 else "above"
    does = {"clear": "", "caution": ", little for what it must hold", "hold": ", so little that it holds nothing"}
    says = f"The line of {_the(one)} passes {one.worded} {way} the axle's centre{does[one.verdict]}; {one.wanted}."
    force = told.number(bar.force_n)
    if force is None or one.verdict == "hold":
        return says
    shock = told.number(told.facts.speeds.shock) or 1.0
    rough = "" if shock == 1.0 else f", and {one.other(force * shock, 'N')} in a rough start"
    return (
        f"{says} {launch_torque(one).rstrip(',')}, times the axle ratio, puts {one.other(force, 'N')} into it and its "
        f"brackets if the springs bear none of it{rough}. {ENGINEER}"
    )


# ---------------------------------------------------------------------- links


def link_slope(one: One) -> str:
    """Whether the lateral link lies level at ride height."""
    if one.verdict == "unknown":
        return not_judged(one)
    end = "right" if (one.told.number(one.told.facts.fitted.lateral_link.slope_deg) or 0.0) >= 0.0 else "left"
    does = {"clear": "level enough", "caution": "it draws the axle sideways in bump and the other way in droop"}
    return (
        f"The lateral link slopes {one.worded} at ride height, its {end} end higher: {does[one.verdict]}; {one.wanted}."
    )


def drag_slope(one: One) -> str:
    """Whether a front axle's drag link lies as its lateral link does."""
    if one.verdict == "unknown":
        return not_judged(one)
    facts = one.told.facts
    fitted_ = facts.fitted
    link, drag = (one.told.number(of.slope_deg) or 0.0 for of in (fitted_.lateral_link, fitted_.drag_link))
    slopes = [
        f"{one.other(abs(part), 'deg')} up to the {'right' if part > 0.0 else 'left'}" if abs(part) >= 0.05 else "not"
        for part in (drag, link)
    ]
    ends = f"The drag link slopes {slopes[0]}, the lateral link {slopes[1]}"
    if one.told.at(against(facts)):
        return (
            f"{ends}, {one.worded} apart, but they run opposite ways from the frame: over bumps they draw apart and steer; "
            f"{one.wanted}, and both from one side."
        )
    does = {
        "clear": "bumps hardly steer",
        "caution": "bumps steer a little",
        "hold": "bumps steer, which makes it dart",
    }[one.verdict]
    return f"{ends}, {one.worded} apart: {does}; {one.wanted}."
