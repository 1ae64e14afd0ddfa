"""How the section that slips is made: its length over the travel, what may be off of it, and its spline's teeth.

Lengths run from joint centre to joint centre, mm. The longest need not lie at an end of the travel, so least and most
are taken over all of its places.
"""

from typing import NamedTuple

import numpy as np

from geometry.document.entries import Variants
from geometry.judge.facts import Facts
from geometry.mechanics.chain import chain_of, peaks
from geometry.mechanics.trade_sizes import JOINT_SERIES
from geometry.mechanics.vectors import NAN, Floats

_LARGEST_MM = 400.0
"""No shaft's tube is thicker: the document takes none."""
SERIES = {series.name: series for series in JOINT_SERIES}
"""Trade sizes by name."""


def largest_tubes_mm(f: Facts) -> tuple[Floats, ...]:
    """Outside diameter at which each section's tube surely still keeps the gap wanted to every obstacle, (rows,).

    A tube grows to all sides by half of what its diameter does; gaps are the least over the travel where that is known.
    nan where nothing is in the way of any tube that there is, or a gap is not known.
    """
    found = []
    for number, (_, entry) in enumerate(f.kinds.tubes):
        spare = NAN
        for index in range(f.v.word("obstacles", 0)):
            gap = f.gap(index)
            air = gap.bodies[number][1].least_mm - gap.wanted_mm
            spare = air if index == 0 else np.minimum(spare, air)
        largest = f.v[f"{entry}.outer_diameter_mm"] + 2.0 * spare
        found.append(np.where(largest <= _LARGEST_MM, largest, NAN))
    return tuple(found)


def tooth_deg(v: Variants) -> Floats:
    """One tooth of a spline that can be put together a tooth out; nan where there is none, or its teeth are not known.

    Between the gearbox's output and a slip yoke on it a tooth turns both yokes of the shaft alike.
    """
    if v.word("shaft.slip.sits") == "gearbox":
        return NAN
    tooth: Floats = 360.0 / v["shaft.slip.spline_teeth"]
    return tooth


class ToothOut(NamedTuple):
    """One tooth of the slip's spline, and the peaks with the yokes one tooth out, the worse of both ways.

    Peaks are over the square of the speed; (rows,) each, nan where the teeth are not entered, or are the gearbox's.
    """

    tooth_deg: Floats
    residual: Floats
    inertia: Floats


def tooth_out(f: Facts) -> ToothOut:
    """What one tooth out in the slip does: the yokes turned by a full turn over the teeth, either way."""
    tooth = tooth_deg(f.v)
    ways = np.array([-1.0, 1.0])[:, None] * tooth
    *others, phase = f.phases_deg
    chain = chain_of(f.pose.along_drive(ahead=f.kinds.ahead), (*others, phase + ways))
    driven = peaks(chain, f.even)
    back = peaks(chain.backward().to_last_section(), f.even[::-1])
    inertia = 0.0 * driven[-1]  # (ways, rows), also where no peak hangs on the way
    for peak in (*driven[:-1], *back):
        inertia = np.maximum(inertia, peak)
    return ToothOut(tooth, driven[-1].max(axis=0), inertia.max(axis=0))


class Caps(NamedTuple):
    """Caps at one end of the shaft, (rows,): by caliper, else as their series has them; nan where neither is."""

    cap_mm: Floats
    span_mm: Floats
    series: str | None


def caps_of(v: Variants, section: str, series: str | None) -> Caps:
    """Cap and span at a section of the document, each by caliper before its series."""
    row = None if series is None else SERIES[series]
    cap, span = (NAN, NAN) if row is None else (row.cap_mm, row.span_mm)
    return Caps(v.given(f"{section}.cap_mm", float(cap)), v.given(f"{section}.span_mm", float(span)), series)


def end_of(f: Facts, at: str) -> tuple[str, str]:
    """Name of the joint at an end of the shaft, the gearbox's or the axle's, and the section that describes the end."""
    name = f.kinds.names[-1] if (at == "gearbox") == f.kinds.ahead else f.kinds.names[0]
    return name, f"shaft.{name}_end"


def caps_on_shaft(f: Facts, at: str) -> Caps:
    """The caps on the shaft that go to gearbox or axle: of the cross's other size where it has two."""
    name, end = end_of(f, at)
    return caps_of(f.v, end, f.v.word(f"{end}.other_series") or f.v.word(f"shaft.{name}_joint.series"))
