"""The measurements in walking order: a line of the card, where its tool goes, how soon it is wanted.

One walk: the desk, round the outside, under engine and gearbox, along the shaft, the axle, its springs or links, the
brackets, and what is read from plates and papers. A line has one number, on the card and wherever else it is named.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from app.measuring.usual import BuildKind, kind_of_build
from geometry.document import Build, value_at
from geometry.words.wording import capital

MOST_LETTERS: Final = 30
"""Of the words that say where the tool goes: what stands under a title in the hand."""
FIRST, SECOND, THIRD, WITH_ITS_PART = 1, 2, 3, 0
"""How soon a line is wanted: in a hurry, for most verdicts, for nearly all, or when its part is judged."""
_SET_UP: Final = "measured when the axle is set up on its springs, and again when it is welded"
LEFT_OUT: Final[Mapping[str, str]] = MappingProxyType({
    "display": "units are chosen, not measured",
    "state": "its boxes stand at the head of the card",
    "use": "how it is to be used, not how it stands",
    "plan": "what is to be, not what is",
    "variants": "what else may be, not what is",
    "order": "what is wished of the shaft",
    "drivelines": "each driveline has a card of its own, seen from it",
    "flexible_lines.*.slack_mm": "what is wanted, not what is",
    "obstacles": "their corners are outlined on the screen; the card asks for the gap and a sketch",
    "tube_stock": "what a supplier keeps",
    "shock_stock": "what is in hand",
    "powertrain.rock_deg": "counts for outlines that the engine carries, which are drawn on the screen",
    "powertrain.crank_mm": "counts for outlines that the engine carries, which are drawn on the screen",
    "powertrain.output_end": "the shaft order asks for it",
    "axle.pinion_end": "the shaft order asks for it",
    "shaft.front_end": "the shaft order asks for it",
    "shaft.rear_end": "the shaft order asks for it",
    "shaft.centre_end": "the shaft order asks for it",
    "shaft.bearing_bore_mm": "the shaft order asks for it",
    "shaft.slip.seal_travel_mm": "the shaft order asks for it",
    "gauge.zero_uncertainty_deg": "the gauge is zeroed on the floor before anything is read",
    "powertrain.efficiency": "nobody measures it under a vehicle",
    "powertrain.cruise_torque_share": "nobody measures it under a vehicle",
    "perches.flange_to_flange_mm": _SET_UP,
    "perches.springs_apart_mm": _SET_UP,
    "perches.casting_gap_mm": _SET_UP,
    "perches.weld_pull_deg": _SET_UP,
    "clamp": "measured when U-bolts are bought",
    "square": _SET_UP,
    "axle.efficiency": "nobody measures it under a vehicle",
    "shaft.tube.yield_mpa": "of the tube's certificate, a usual value is taken",
    "shaft.front_tube.yield_mpa": "of the tube's certificate, a usual value is taken",
    "shaft.rear_tube.yield_mpa": "of the tube's certificate, a usual value is taken",
})  # fmt: skip
"""Entries and sections that the card does not ask for, and why."""


class Line(NamedTuple):
    """One line of the card.

    `entries` are dotted paths with the words of their boxes: sides or axes; none where the unit says enough. `ways` are
    the words of a number above nought and of one below it, so that nobody writes a sign.
    """

    title: str
    short: str
    step: int
    entries: tuple[tuple[str, tuple[str, ...]], ...]
    ways: tuple[str, str] = ("", "")
    choices: tuple[str | bool, ...] = ()
    """What `ways` stand for where the entry is no number."""

    @property
    def paths(self) -> tuple[str, ...]:
        """Dotted paths of its entries."""
        return tuple(path for path, _ in self.entries)


class Stop(NamedTuple):
    """Lines that are measured in one place."""

    title: str
    lines: tuple[Line, ...]


_SPACE: Final = ("back", "right", "up")
_SIDE: Final = ("back", "up")
_PLAN_WAYS: Final = ("to right", "to left")


def _one(title: str, short: str, step: int, path: str, ways: tuple[str, str] = ("", "")) -> Line:
    return Line(title, short, step, ((path, ()),), ways)


def _either(title: str, short: str, path: str, choices: tuple[str | bool, ...], ways: tuple[str, str]) -> Line:
    return Line(title, short, WITH_ITS_PART, ((path, ()),), ways, choices)


def _at(title: str, short: str, step: int, path: str, axes: tuple[str, ...] = _SPACE) -> Line:
    return Line(title, short, step, ((path, axes),))


def _more(title: str, short: str, step: int, *entries: tuple[str, str], ways: tuple[str, str] = ("", "")) -> Line:
    return Line(title, short, step, tuple((path, (words,) if words else ()) for path, words in entries), ways)


def even(kind: BuildKind) -> bool:
    """Whether a shaft of one piece has a joint that runs evenly: neither phase nor plan is wanted for it then."""
    return kind.shaft == "one_piece" and set(kind.joints) != {"cardan"}


def _soon(kind: BuildKind) -> int:
    """When the joints' places are wanted: first of all by a shaft that three angles and a length do not tell of."""
    return SECOND if kind.shaft == "two_piece" or even(kind) else THIRD


@cache
def stops(kind: BuildKind, shocks: int = 1, torque_bars: int = 1, lines: int = 0) -> tuple[Stop, ...]:
    """The walk round a vehicle of a kind with so many shocks and torque bars, and so many hoses, cables and wires."""
    return (
        Stop("Before you start", (
            _more("Gauge and tape, ±", "read 5 times: half the spread", _soon(kind),
                  ("gauge.angle_uncertainty_deg", "angle"), ("gauge.tape_uncertainty_mm", "tape")),
        )),
        Stop("Round the outside", tuple(_outside(kind))),
        Stop("Under it: engine and gearbox", tuple(_engine(kind))),
        Stop("The shaft", tuple(_shaft(kind))),
        Stop("Axle and pinion", tuple(_axle(kind))),
        Stop("Springs" if kind.suspension == "leaf" else "Links and travel", tuple(_suspension(kind))),
        Stop("Brackets, at ride height", tuple(_brackets(kind, shocks, torque_bars, lines))),
        Stop("From plates and papers", tuple(_papers(kind))),
    )  # fmt: skip


def stops_of(build: Build | None) -> tuple[Stop, ...]:
    """The walk round a build; a blank one's where there is none."""
    if build is None:
        return stops(BuildKind())
    return stops(
        kind_of_build(build), max(len(build.shocks), 1), max(len(build.torque_bars), 1), len(build.flexible_lines)
    )


def lines_of(build: Build | None) -> tuple[Line, ...]:
    """All lines of a build in walking order; the first is number 1."""
    return tuple(line for stop in stops_of(build) for line in stop.lines)


def number_and_line(build: Build, path: str) -> tuple[int, Line] | None:
    """Number and line of an entry on the card; None where it is not on it."""
    return next(((number, line) for number, line in enumerate(lines_of(build), 1) if path in line.paths), None)


def in_walking_order(build: Build) -> tuple[str, ...]:
    """Dotted paths of a build's entries: what is read in a hurry first, then all in walking order."""
    lines = sorted(lines_of(build), key=lambda line: line.step != FIRST)  # the order of equals is kept
    return tuple(path for line in lines for path in line.paths)


def _outside(kind: BuildKind) -> Iterator[Line]:
    driven, other = ("front", "rear") if kind.axle == "front" else ("rear", "front")
    short = {"rear": "floor to hub centre, on tyres", "front": "floor to hub centre, on tyres"}
    for end, step in ((driven, SECOND), (other, WITH_ITS_PART)):
        yield _one(f"{capital(end)} tyre radius", short[end], step, f"vehicle.{end}_tyre_radius_mm")
    wheelbase = SECOND if kind.shaft == "two_piece" else WITH_ITS_PART if even(kind) and driven == "front" else THIRD
    yield _one("Wheelbase", "hub to hub, along the floor", wheelbase, "vehicle.wheelbase_mm")
    yield _one(
        "Frame rail slope", "on a straight stretch", WITH_ITS_PART, "vehicle.frame_slope_deg", ("rear low", "rear high")
    )
    yield _more(
        "Rail height, depth", "underside, beside mount", WITH_ITS_PART, ("vehicle.frame_height_mm", "up"),
        ("vehicle.frame_depth_mm", "deep"),
    )  # fmt: skip


def _engine(kind: BuildKind) -> Iterator[Line]:
    yield _at("Front mounts", "where they carry the engine", WITH_ITS_PART, "powertrain.front_mount_mm", _SIDE)
    yield _at("Rear mount", "on its crossmember", WITH_ITS_PART, "powertrain.rear_mount_mm", _SIDE)
    yield _one("Output slope", "on a face square to it", FIRST, "powertrain.slope_deg", ("tail down", "tail up"))
    wanted = _soon(kind)
    plan = WITH_ITS_PART if even(kind) else wanted
    yield _one("Output in plan", "string line, rearward", plan, "powertrain.plan_deg", _PLAN_WAYS)
    yield _at("Output joint", "centre of the cross", wanted, "powertrain.output_joint_mm")
    yield _more("Engine", "fan to bell; sump to top", WITH_ITS_PART, ("powertrain.engine_length_mm", "long"),
                ("powertrain.engine_height_mm", "high"))  # fmt: skip
    yield _more("Gearbox", "bell to joint; its case", WITH_ITS_PART, ("powertrain.gearbox_length_mm", "long"),
                ("powertrain.gearbox_height_mm", "high"))  # fmt: skip


def _shaft(kind: BuildKind) -> Iterator[Line]:
    two = kind.shaft == "two_piece"
    names = ("front", "centre", "rear") if two else ("front", "rear")
    tubes = (("shaft.front_tube", "front"), ("shaft.rear_tube", "rear")) if two else (("shaft.tube", ""),)

    def joints(title: str, short: str, step: int, name: str) -> Line:
        return _more(title, short, step, *((f"shaft.{one}_joint.{name}", one) for one in names))

    if two:
        yield _at("Support bearing", "centre of the bearing", SECOND, "shaft.bearing_mm")
        yield _one(
            "Bearing slope",
            "on its housing's face",
            THIRD,
            "shaft.bearing_slope_deg",
            ("rear low", "rear high"),
        )
        yield _one("Bearing in plan", "string line across its face", THIRD, "shaft.bearing_plan_deg", _PLAN_WAYS)
        yield _more(
            "Bearing", "off middle; hanger; its bolts", WITH_ITS_PART, ("shaft.bearing_off_centre_mm", "off"),
            ("shaft.bearing_step_mm", "step"), ("shaft.bearing_bolts_mm", "bolts"),
        )  # fmt: skip
    yield _one(
        "Shaft slope", "rear tube, or stick" if two else "on tube, or stick", FIRST, "readings.shaft_slope_deg",
        ("rear low", "rear high"),
    )  # fmt: skip
    yield _one(
        "Shaft length", "rear section, cross to cross" if two else "cross to cross, at ride height", FIRST,
        "readings.shaft_length_mm",
    )  # fmt: skip
    tube_step = SECOND if _soon(kind) == THIRD else THIRD
    for tube, words in tubes:
        title = capital(f"{words} tube".strip())
        yield _more(f"{title} Ø, wall", "caliper: outside, at a cut end", tube_step, (f"{tube}.outer_diameter_mm", "Ø"),
                    (f"{tube}.wall_mm", "wall"))  # fmt: skip
        yield _either(
            f"{title} is",
            "a magnet sticks to steel",
            f"{tube}.material",
            ("steel", "aluminium"),
            ("steel", "aluminium"),
        )
    yield joints("Greatest joint angle", "till metal touches", THIRD, "max_angle_deg")
    yield joints("Yoke swing", "Ø that the ears sweep", WITH_ITS_PART, "swing_mm")
    yield _more("Slip", "bottomed to out; spline inside", THIRD, ("shaft.slip.stroke_mm", "stroke"),
                ("shaft.slip.engaged_mm", "engaged"))  # fmt: skip
    yield _more(
        "Spline", "caliper over teeth; count them", WITH_ITS_PART, ("shaft.slip.spline_diameter_mm", "Ø"),
        ("shaft.slip.spline_teeth", "teeth"),
    )  # fmt: skip
    for name, title in (
        (("front_phase_deg", "Front yokes turned"), ("rear_phase_deg", "Rear yokes turned")) if two
        else (("phase_deg", "Rear yoke turned"),)
    ):  # fmt: skip
        step = WITH_ITS_PART if _soon(kind) == SECOND else SECOND
        yield _one(title, "0 = in line, looking rearward", step, f"shaft.{name}", ("clockwise", "anti"))


def _axle(kind: BuildKind) -> Iterator[Line]:
    front, wanted = kind.axle == "front", _soon(kind)
    yield _one(
        "Pinion slope", "on the flange's face", FIRST, "axle.pinion_slope_deg",
        ("nose down", "nose up") if front else ("nose up", "nose down"),
    )  # fmt: skip
    plan = THIRD if wanted == THIRD else WITH_ITS_PART
    yield _one("Pinion in plan", "string line, rearward", plan, "axle.pinion_plan_deg", _PLAN_WAYS)
    yield _at("Axle centre", "middle of the tube", wanted, "axle.centre_mm")
    yield _one("Pinion length", "tube centre to cross, along it", wanted, "axle.pinion_length_mm")
    yield _one("Pinion drop", "below the tube's centre", wanted, "axle.pinion_drop_mm", ("below", "above"))
    aside = wanted if front else plan  # a front axle's pinion may lie anywhere
    yield _one("Pinion offset", "from the axle's middle", aside, "axle.pinion_offset_mm", ("right", "left"))
    if kind.suspension != "leaf":
        yield _one("Axle tube Ø", "beside the brackets", WITH_ITS_PART, "axle.tube_diameter_mm")
    if kind.suspension == "leaf":
        yield _more("Axle tube Ø, perches", "beside one; centre to centre", WITH_ITS_PART,
                    ("axle.tube_diameter_mm", "Ø"), ("axle.perch_spacing_mm", "apart"))  # fmt: skip
        yield _one(
            "Spring seat slope",
            "flat of the perch",
            WITH_ITS_PART,
            "readings.seat_slope_deg",
            ("rear low", "rear high"),
        )
        ways = ("rear low", "rear high")
        yield _more(
            "Seats apart", "flat of each perch", WITH_ITS_PART, ("perches.seat_left_deg", "left"),
            ("perches.seat_right_deg", "right"), ways=ways,
        )  # fmt: skip
        yield _more(
            "Flange to perch", "its face, alike on both sides", THIRD if even(kind) else WITH_ITS_PART,
            ("axle.flange_to_perch_left_mm", "left"), ("axle.flange_to_perch_right_mm", "right"),
        )  # fmt: skip
    if front:
        leans = ("top back", "top ahead")
        yield _one("Caster", "across the knuckle's pivots", WITH_ITS_PART, "axle.caster_deg", leans)
        yield _one("Caster wanted", "from its alignment figures", WITH_ITS_PART, "axle.caster_wanted_deg", leans)


def _suspension(kind: BuildKind) -> Iterator[Line]:
    if kind.suspension == "leaf":
        yield _at("Fixed eye", "centre of its bolt", THIRD, "suspension.front_eye_mm", _SIDE)
        yield _at("Shackle pivot", "bolt at the frame", THIRD, "suspension.shackle_pivot_mm", _SIDE)
        yield _one("Shackle length", "bolt to bolt", THIRD, "suspension.shackle_length_mm")
        yield _more(
            "Leaf halves", "main leaf, eye to centre bolt", THIRD, ("suspension.front_half_mm", "fixed"),
            ("suspension.rear_half_mm", "shackled"),
        )  # fmt: skip
        yield _one("Seat to axle centre", "main leaf to tube, square", THIRD, "suspension.seat_to_axle_mm")
        yield _either(
            "Spring lies", "seen at the axle tube", "suspension.seat", ("over", "under"), ("over it", "under it")
        )
        yield _either(
            "Shackle", "from its bolt at the frame", "suspension.shackle_hangs", (True, False), ("hangs", "stands")
        )
        yield _one("Rate of one spring", "load more ÷ how far it gives", THIRD, "suspension.rate_n_per_mm")
    else:
        for which in ("lower", "upper"):
            for end in ("frame", "axle"):
                yield _at(f"{capital(which)} link, {end}", "bolt centre", THIRD, f"suspension.{which}_{end}_mm", _SIDE)
        yield _either("Link ends", "metal, or any in rubber", "suspension.rigid", (True, False), ("rigid", "rubber"))
        yield _one(
            "Spring rate at the wheel", "load more ÷ how far it gives", WITH_ITS_PART, "suspension.rate_n_per_mm"
        )
    yield _more("Travel of the axle", "up to touch; down to the strap", THIRD, ("suspension.bump_mm", "to stop"),
                ("suspension.droop_mm", "to droop"))  # fmt: skip
    yield _more("Bump stops", "rubber: free less flat; apart", WITH_ITS_PART, ("suspension.bump_squash_mm", "squash"),
                ("suspension.stop_spacing_mm", "apart"))  # fmt: skip


def _brackets(kind: BuildKind, shocks: int, torque_bars: int, lines: int) -> Iterator[Line]:
    for number in range(shocks):
        name = "Shock" if shocks == 1 else f"Shock {number + 1}"
        yield _at(f"{name}, low", "centre of the lower bolt", WITH_ITS_PART, f"shocks.{number}.axle_point_mm")
        yield _at(f"{name}, top", "centre of the upper bolt", WITH_ITS_PART, f"shocks.{number}.frame_point_mm")
        yield _more(
            f"{name}, lengths", "eye to eye", WITH_ITS_PART, (f"shocks.{number}.compressed_mm", "pushed in"),
            (f"shocks.{number}.extended_mm", "pulled out"),
        )  # fmt: skip
    for number in range(torque_bars):
        name = "Torque bar" if torque_bars == 1 else f"Bar {number + 1}"
        yield _at(f"{name}, frame", "centre of its bolt", WITH_ITS_PART, f"torque_bars.{number}.frame_point_mm")
        yield _at(f"{name}, axle", "centre of its bolt", WITH_ITS_PART, f"torque_bars.{number}.axle_point_mm")
        yield _one(f"{name}, float", "swing or slide of its front", WITH_ITS_PART, f"torque_bars.{number}.float_mm")
    yield _at("Lateral link, frame", "centre of its bolt", WITH_ITS_PART, "lateral_link.frame_point_mm")
    yield _at("Lateral link, axle", "centre of its bolt", WITH_ITS_PART, "lateral_link.axle_point_mm")
    if kind.axle == "front":
        yield _at("Drag link, box", "centre of its ball", WITH_ITS_PART, "lateral_link.drag_box_mm")
        yield _at("Drag link, axle", "centre of its ball", WITH_ITS_PART, "lateral_link.drag_axle_mm")
    if lines and kind.suspension == "links":
        yield _one("Spring spacing", "centre to centre, across", WITH_ITS_PART, "axle.perch_spacing_mm")
    for number in range(lines):
        name, path = "Hose or cable" if lines == 1 else f"Hose or cable {number + 1}", f"flexible_lines.{number}"
        yield _at(f"{name}, frame", "where it leaves its bracket", WITH_ITS_PART, f"{path}.frame_point_mm")
        yield _at(f"{name}, axle", "where it is held there", WITH_ITS_PART, f"{path}.axle_point_mm")
        yield _one(f"{name}, length", "pulled straight, no strain", WITH_ITS_PART, f"{path}.free_length_mm")


def _papers(kind: BuildKind) -> Iterator[Line]:
    names = ("front", "centre", "rear") if kind.shaft == "two_piece" else ("front", "rear")
    life = WITH_ITS_PART if _soon(kind) == THIRD else THIRD
    engine = THIRD if _soon(kind) == SECOND else SECOND
    turns = THIRD if kind.shaft == "two_piece" else SECOND
    yield _one("Axle ratio", "teeth ÷ teeth, or turns", SECOND, "axle.ratio")
    yield _one("Cruising speed", "held for hours", SECOND, "vehicle.cruise_speed_kmh")
    yield _one("Top speed", "ever driven", WITH_ITS_PART, "vehicle.top_speed_kmh")
    yield _one("Tyre turns on the road", "counted, or its maker's", WITH_ITS_PART, "vehicle.tyre_turns_per_km")
    yield _one("Engine peak torque", "at the flywheel", engine, "powertrain.peak_torque_nm")
    yield _one("Highest engine speed", "limiter, or driver", turns, "powertrain.redline_rpm")
    yield _one("Gears, first to top", "without the axle", turns, "powertrain.gear_ratios")
    yield _more(
        "Low range, stall", "stall: converter; 1 if none", engine, ("powertrain.low_range", "low"),
        ("powertrain.converter_ratio", "stall"),
    )  # fmt: skip
    yield _one("Load on driven axle", "scale under both its wheels", WITH_ITS_PART, "vehicle.rear_axle_load_kg")
    yield _one("Other axle's spring rate", "of one, at the wheel", WITH_ITS_PART, "vehicle.other_axle_rate_n_per_mm")
    yield _more("Shock, tyre grip", "1 gentle, 1.5; 0.8 dry road", WITH_ITS_PART, ("powertrain.shock_factor", "shock"),
                ("vehicle.tyre_grip", "grip"))  # fmt: skip
    yield _one("Centre of gravity", "floor up to it, laden as used", WITH_ITS_PART, "vehicle.mass_centre_height_mm")
    for title, short, step, name in (
        ("Joint torque limit", "from its maker", THIRD, "torque_limit_nm"),
        ("Joint life rating", "5,000 h, 100 rpm, 3°", life, "life_rating_nm"),
    ):
        yield _more(title, short, step, *((f"shaft.{one}_joint.{name}", one) for one in names))


def filled(build: Build, path: str) -> bool:
    """Whether an entry of the card is entered."""
    return value_at(build, path) is not None
