"""Whether what is on the shaft's ends goes together with what is on gearbox and pinion.

Asked only where a person has begun to describe an end. What is not entered leaves the finding unknown, unless what is
entered already does not go together.
"""

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np

from geometry.document import value_at
from geometry.judge.facts import Facts
from geometry.judge.made import SERIES, caps_of, caps_on_shaft, end_of
from geometry.judge.table import Table
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, cross, dot, line_of, norm, number

MATES = {"gearbox": "powertrain.output_end", "axle": "axle.pinion_end"}
"""What the shaft goes to, by the end of the shaft."""
ADAPTERS = {"gearbox": "plan.output_adapter_mm", "axle": "plan.pinion_adapter_mm"}
"""Plates between the flanges."""
GOES_TO = {"flange": ("flange",), "caps": ("straps", "u_bolts", "clips"), "spline": ("spline",)}
"""What each type of end goes to."""
CENTRE = "shaft.centre_end"
"""Caps of the joint between two sections."""
_CAP, _SPAN, _BOLTS = 0.25, 0.5, 1.0


class Size(NamedTuple):
    """One size of both halves, (rows,); `off_by` is how far apart they may be, nought of what is counted."""

    name: str
    ours: Floats
    theirs: Floats
    off_by: float

    @property
    def differs(self) -> Bools:
        """Where both are known and farther apart than they may be."""
        return np.abs(self.ours - self.theirs) > self.off_by * (1.0 + 1e-9)


class Fit(NamedTuple):
    """Both halves of one end: their types, None where not entered, and their sizes as far as the types have them.

    `apart` are words that do not go together: "type", "slip", "pilot" or "clip". `lacks` tells that a word is lacking;
    `adapter_mm` (rows,) is the plate between two flanges, nought without.
    """

    ours: str | None
    theirs: str | None
    apart: tuple[str, ...]
    sizes: tuple[Size, ...] = ()
    lacks: bool = False
    adapter_mm: Floats = ZERO


def fit_of(f: Facts, at: str) -> Fit | None:
    """How the halves at an end of the shaft go together, at the gearbox or at the axle; None before any is entered."""
    v, end, mate = f.v, end_of(f, at)[1], MATES[at]
    if not _described(f, at):
        return None
    ours, theirs = v.word(f"{end}.type"), v.word(f"{mate}.type")
    apart: list[str] = []
    sits = v.word("shaft.slip.sits")
    if at == "gearbox" and ours is not None and sits is not None and (sits == "gearbox") != (ours == "spline"):
        apart.append("slip")
    if ours is None or theirs is None:
        return Fit(ours, theirs, tuple(apart), lacks=True)
    if theirs not in GOES_TO[ours]:
        return Fit(ours, theirs, (*apart, "type"))

    def both(name: str) -> tuple[Floats, Floats]:
        return v[f"{end}.{name}"], v[f"{mate}.{name}"]

    lacking, adapter = False, ZERO
    if ours == "flange":
        adapter = v.given(ADAPTERS[at], 0.0)
        pilots = v.word(f"{end}.pilot"), v.word(f"{mate}.pilot")
        lacking = None in pilots
        if not lacking and pilots[0] == pilots[1]:
            apart.append("pilot")
        sizes = [
            Size("pilot", *both("pilot_mm"), _CAP),
            Size("bolt circle", *both("bolt_circle_mm"), _BOLTS),
            Size("bolts", *both("bolts"), 0.0),
            Size("bolt size", *_if_both(*both("bolt_mm")), _BOLTS),
        ]
    elif ours == "caps":
        shaft, yoke = caps_on_shaft(f, at), caps_of(v, mate, v.word(f"{mate}.series"))
        sizes = [Size("cap", shaft.cap_mm, yoke.cap_mm, _CAP), Size("span", shaft.span_mm, yoke.span_mm, _SPAN)]
        clips = v.word(f"{end}.clip"), v.word(f"{mate}.clip")
        if theirs == "clips" and None not in clips and clips[0] != clips[1]:
            apart.append("clip")
    else:
        teeth, wide = (_or_the_slips(f, sits, *both(name), name) for name in ("spline_teeth", "spline_diameter_mm"))
        sizes = [Size("teeth", *teeth, 0.0), Size("spline", *wide, _SPAN), Size("seal", *both("seal_mm"), _CAP)]
    return Fit(ours, theirs, tuple(apart), tuple(sizes), lacking, adapter)


def _or_the_slips(f: Facts, sits: str | None, ours: Floats, theirs: Floats, name: str) -> tuple[Floats, Floats]:
    """A size of the slip yoke: where the slip sits in the gearbox and it is not entered here, the slip's own entry."""
    return np.where(np.isnan(ours), f.v[f"shaft.slip.{name}"], ours) if sits == "gearbox" else ours, theirs


def _entered(f: Facts, at: str) -> list[str]:
    """Paths of what is entered of an end, and of what it goes to."""
    return [
        f"{section}.{name}"
        for section in (end_of(f, at)[1], MATES[at])
        for name, one in getattr(value_at(f.v.build, section), "__dict__", {}).items()
        if one is not None
    ]


def _columns(f: Facts, at: str) -> list[str]:
    """Paths of an end, and of what it goes to, that are columns."""
    sections = f"{end_of(f, at)[1]}.", f"{MATES[at]}."
    return [path for path in f.v.columns if path.startswith(sections)]


def _described(f: Facts, at: str) -> bool:
    """Whether anything of an end is entered or a column: one answer for all rows, in every block."""
    return bool(_entered(f, at) or _columns(f, at))


def begun(f: Facts, at: str) -> Bools:
    """Rows in which anything is entered of what is on the shaft at an end, or of what it goes to."""
    columns = _columns(f, at)
    begun: Bools = np.asarray(not set(columns).issuperset(_entered(f, at)))
    for path in columns:
        begun = begun | np.isfinite(f.v[path])
    return begun


def _if_both(ours: Floats, theirs: Floats) -> tuple[Floats, Floats]:
    """A size that is compared only where both halves tell it."""
    known = np.isfinite(ours + theirs)
    return np.where(known, ours, 0.0), np.where(known, theirs, 0.0)


def apart(fit: Fit) -> Floats:
    """How many things of an end do not go together, (rows,); a plate between two flanges bridges their sizes.

    nan where something is not entered and nothing that is entered is apart.
    """
    lacks = sum((ours + theirs for _, ours, theirs, _ in fit.sizes), NAN if fit.lacks else ZERO)
    differ = sum((size.differs for size in fit.sizes), number(len(fit.apart)))
    bridged = (fit.adapter_mm > 0.0) & np.asarray("slip" not in fit.apart)
    return np.where(bridged, 0.0 * lacks, np.where(differ > 0.0, differ, 0.0 * lacks))


def ends(f: Facts, table: Table) -> None:
    """Both ends: do their halves go together, and are the caps what their series has, those between sections too?"""
    for at, mate in MATES.items():
        fit, (name, end) = fit_of(f, at), end_of(f, at)
        if fit is None:
            continue
        table.add("end_fits", f"{name}_joint", apart(fit), asked=begun(f, at))
        halves = ((end, caps_on_shaft(f, at).series), (mate, f.v.word(f"{mate}.series")))
        _cap_size(f, table, f"{name}_joint", halves)
    if f.kinds.pieces == 2:
        _cap_size(f, table, "centre_joint", ((CENTRE, f.v.word("shaft.centre_joint.series")),))


_Halves: TypeAlias = Sequence[tuple[str, str | None]]
"""Sections of the document that tell caps, each with the series that they are of."""


def _cap_size(f: Facts, table: Table, part: str, halves: _Halves) -> None:
    off = cap_size_off_mm(f, halves)
    if off is not None:
        table.add("cap_size", part, off, asked=np.isfinite(off))


def cap_size_off_mm(f: Facts, halves: _Halves) -> Floats | None:
    """How far caps or spans by caliper are off their series, the most of all halves; None where there are none."""
    v, most = f.v, None
    for section, series in halves:
        for size in ("cap_mm", "span_mm"):
            if series is not None and not v.absent(f"{section}.{size}"):
                off = np.abs(v[f"{section}.{size}"] - getattr(SERIES[series], size))
                most = off if most is None else np.fmax(most, off)
    return most


def bearing(f: Facts, table: Table) -> None:
    """How the support bearing sits: square to the shaft that runs in it, and in the middle of its rubber."""
    if f.kinds.pieces != 2:
        return
    slope, off = f.v["shaft.bearing_slope_deg"], f.v["shaft.bearing_off_centre_mm"]
    housing = line_of(slope + f.level_deg, f.v.given("shaft.bearing_plan_deg", 0.0))
    section = f.pose.sections[-1 if f.kinds.ahead else 0]
    square = np.arctan2(norm(cross(housing, section)), dot(housing, section)) / RADIAN
    begun: Bools = np.isfinite(slope) | ~np.isnan(f.v["shaft.bearing_plan_deg"])
    table.add("bearing_square", "bearing", square, asked=begun)
    table.add("bearing_centred", "bearing", off, asked=np.isfinite(off))


def seal(f: Facts, table: Table) -> None:
    """Whether boot or lip follows the slip over the travel."""
    room = f.v["shaft.slip.seal_travel_mm"]
    if not f.v.absent("shaft.slip.seal_travel_mm"):
        slips, others = NAN, tuple[Floats, ...]()
        if f.travels.any():
            lengths = f.travelled.poses.lengths_mm[f.kinds.beside_axle]
            (least, leasts), (most, mosts) = f.worst_of(lengths), f.worst_of(-lengths)
            slips, others = -most - least, tuple(-one - two for one, two in zip(mosts, leasts, strict=True))
        table.add("seal_travel", "shaft", slips, scale=room, others=others, asked=np.isfinite(room))
