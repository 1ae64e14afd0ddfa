"""Whether what is on the shaft's ends goes together with what is on gearbox and pinion.

Asked only where a person has begun to describe an end. What is not entered leaves the finding unknown, unless what is
entered already does not go together. Sizes of a series, which are from memory, can tell that two halves do not, and
never that they do.
"""

from typing import NamedTuple

import numpy as np

from geometry.document import value_at
from geometry.judge.begun import any_there
from geometry.judge.facts import Facts
from geometry.judge.made import SERIES, caps_of, caps_on_shaft, end_of
from geometry.judge.table import Table
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, cross, dot, line_of, norm, number, plan_deg

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

    `apart` are words that do not go together: "type", "slip", "pilot" or "clip". `lacks` (rows,) is nan where a word or
    a caliper's reading is lacking, else nought; `adapter_mm` (rows,) is the plate between two flanges, nought without.
    """

    ours: str | None
    theirs: str | None
    apart: tuple[str, ...]
    sizes: tuple[Size, ...] = ()
    lacks: Floats = ZERO
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
        return Fit(ours, theirs, tuple(apart), lacks=NAN)
    if theirs not in GOES_TO[ours]:
        return Fit(ours, theirs, (*apart, "type"))
    made = {"flange": _flanges, "caps": _caps}.get(ours, _splines)(f, at)
    adapter = v.given(ADAPTERS[at], 0.0) if ours == "flange" else ZERO
    return made._replace(apart=(*apart, *made.apart), adapter_mm=adapter)


def _both(f: Facts, at: str, name: str) -> tuple[Floats, Floats]:
    """A size of what is on the shaft at an end, and of what it goes to."""
    return f.v[f"{end_of(f, at)[1]}.{name}"], f.v[f"{MATES[at]}.{name}"]


def _words(f: Facts, at: str, name: str) -> tuple[str | None, str | None]:
    return f.v.word(f"{end_of(f, at)[1]}.{name}"), f.v.word(f"{MATES[at]}.{name}")


def _flanges(f: Facts, at: str) -> Fit:
    ours, theirs = _words(f, at, "pilot")
    lacks = ours is None or theirs is None
    sizes = (
        Size("pilot", *_both(f, at, "pilot_mm"), _CAP),
        Size("bolt circle", *_both(f, at, "bolt_circle_mm"), _BOLTS),
        Size("bolts", *_both(f, at, "bolts"), 0.0),
        Size("bolt size", *_both(f, at, "bolt_mm"), _BOLTS),
    )
    apart = () if lacks or ours != theirs else ("pilot",)
    return Fit("flange", "flange", apart, sizes, NAN if lacks else ZERO)


def _caps(f: Facts, at: str) -> Fit:
    """Caps in a yoke: by caliper, else as their series has them, which can tell that they differ, not that they fit."""
    theirs = f.v.word(f"{MATES[at]}.type")
    shaft, yoke = caps_on_shaft(f, at), caps_of(f.v, MATES[at], f.v.word(f"{MATES[at]}.series"))
    sizes = Size("cap", shaft.cap_mm, yoke.cap_mm, _CAP), Size("span", shaft.span_mm, yoke.span_mm, _SPAN)
    lacks = sum((0.0 * read for size in ("cap_mm", "span_mm") for read in _both(f, at, size)), ZERO)
    one, two = _words(f, at, "clip") if theirs == "clips" else ("", "")
    if one is None or two is None:
        return Fit("caps", theirs, (), sizes, NAN)
    return Fit("caps", theirs, () if one == two else ("clip",), sizes, lacks)


def _splines(f: Facts, at: str) -> Fit:
    sizes = (
        Size("teeth", *_both(f, at, "spline_teeth"), 0.0),
        Size("spline", *_both(f, at, "spline_diameter_mm"), _SPAN),
        Size("seal", *_both(f, at, "seal_mm"), _CAP),
    )
    return Fit("spline", "spline", (), sizes)


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


def apart(fit: Fit) -> Floats:
    """How many things of an end do not go together, (rows,); a plate between two flanges bridges their sizes.

    nan where something is not entered and nothing that is entered is apart.
    """
    lacks = sum((ours + theirs for _, ours, theirs, _ in fit.sizes), fit.lacks)
    differ = sum((size.differs for size in fit.sizes), number(len(fit.apart)))
    bridged = (fit.adapter_mm > 0.0) & np.asarray("slip" not in fit.apart)
    return np.where(bridged, 0.0 * lacks, np.where(differ > 0.0, differ, 0.0 * lacks))


def ends(f: Facts, table: Table) -> None:
    """Both ends: do their halves go together, and are the caps what their series has, those between sections too?"""
    for at in MATES:
        fit, name = fit_of(f, at), end_of(f, at)[0]
        if fit is None:
            continue
        table.add("end_fits", f"{name}_joint", apart(fit), asked=begun(f, at))
        _cap_size(f, table, name)
    if f.kinds.pieces == 2:
        _cap_size(f, table, "centre")


def caps_in_series(f: Facts, name: str) -> dict[str, float]:
    """Caps and spans that a caliper can hold to a series at a joint, by their paths: what the series has, mm."""
    if name == "centre":
        halves = [(CENTRE, f.v.word("shaft.centre_joint.series"))]
    else:
        at = next(at for at in MATES if end_of(f, at)[0] == name)
        halves = [(end_of(f, at)[1], caps_on_shaft(f, at).series), (MATES[at], f.v.word(f"{MATES[at]}.series"))]
    return {
        f"{section}.{size}": getattr(SERIES[series], size)
        for section, series in halves
        if series is not None
        for size in ("cap_mm", "span_mm")
    }


def _cap_size(f: Facts, table: Table, name: str) -> None:
    """How far caps or spans by caliper are off their series, the most of all; asked once one is read."""
    sizes = caps_in_series(f, name)
    if not any_there(f.v, sizes):
        return
    most = worst = ZERO - np.inf
    for path, size in sizes.items():
        off = np.abs(f.v[path] - size)
        most, worst = np.fmax(most, off), np.fmax(worst, np.where(np.isnan(off), np.inf, off))
    table.add("cap_size", f"{name}_joint", most, others=(worst,), asked=np.isfinite(most))


def bearing(f: Facts, table: Table) -> None:
    """How the support bearing sits: square to the shaft that runs in it, and in the middle of its rubber."""
    if f.kinds.pieces != 2:
        return
    slope, plan, off = (f.v[f"shaft.bearing_{name}"] for name in ("slope_deg", "plan_deg", "off_centre_mm"))
    section, lacks = f.pose.sections[-1 if f.kinds.ahead else 0], np.isnan(plan)
    # Without its plan the housing is off by the slopes' difference at the least, and by anything at the most.
    housing = line_of(slope + f.level_deg, np.where(lacks, plan_deg(section), plan))
    square = np.arctan2(norm(cross(housing, section)), dot(housing, section)) / RADIAN
    begun: Bools = np.isfinite(slope) | ~lacks
    table.add("bearing_square", "bearing", square, others=(np.where(lacks, np.inf, square),), asked=begun)
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
