"""How well gauge or tape know a value, said behind what a finding says of it."""

from collections.abc import Sequence

import numpy as np

from geometry.judge.codes import HOLD, WORDS, codes
from geometry.mechanics import spread
from geometry.mechanics.vectors import NAN, Floats, number
from geometry.words.one import One
from geometry.words.told import Told


def joint_band_deg(told: Told, lengths_mm: Sequence[Floats], joint: int) -> Floats:
    """What gauge and tape leave open of a joint's angle, degrees, either way; `lengths_mm` of the sections, one row."""
    facts, kinds = told.facts, told.facts.kinds
    gauge, tape = (told.at(facts.v[f"gauge.{name}"]) for name in ("angle_uncertainty_deg", "tape_uncertainty_mm"))
    if not told.at(facts.taped):
        return spread.joint_by_stick_deg(gauge) if kinds.pieces == 1 else NAN
    arm = facts.axle.arm
    swing = np.hypot(told.at(arm.x), told.at(arm.z)) / lengths_mm[kinds.beside_axle]
    if 0 < joint < kinds.pieces:
        return spread.centre_joint_deg(gauge, tape, lengths_mm[0], lengths_mm[1], swing)
    section = 0 if joint == 0 else kinds.pieces - 1
    # Only the section beside the axle swings as the pinion's joint does.
    swung = swing if section == kinds.beside_axle else number(0.0)
    at_pinion = joint == kinds.pinion_joint
    return spread.joint_by_tape_deg(gauge, tape, lengths_mm[section], swung, at_pinion=at_pinion)


def known_within(one: One, band: Floats, tool: str) -> str:
    """Say within what gauge or tape know the value, and whether that alone could turn the verdict; else nothing.

    What is clear is said to be doubtful only where it could be a hold.
    """
    within = one.number(band)
    if within is None or one.value is None or one.clear is None:
        return ""
    says = f"; your {tool} knows it within {one.text(within)}"
    ends = np.array([max(one.value - within, 0.0), one.value + within])
    way = number(1.0 if one.row.sense == "most" else -1.0)
    found = codes(way, ends, number(one.clear), number(one.row.hold if one.hold is None else one.hold))
    others = [WORDS[code] for code in found if WORDS[code] != one.verdict and (one.verdict != "clear" or code == HOLD)]
    turns = f", which could make it {' or '.join(dict.fromkeys(others))}: read it again" if others else ""
    return f"{says}{turns}"
