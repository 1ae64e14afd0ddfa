"""The numbers to put on the gauge and the tape, as words: nothing is computed here but how they are said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from pydantic import ValidationError

from app.complaints import title_of
from app.units import INCHES, MILLIMETRES, SIXTEENTHS, leaning, show, show_planned, show_tape
from geometry import Build, edited, solve
from geometry.document import is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.document.vehicle import Display
from geometry.judge.limits import LIMITS
from geometry.judge.ways import WEDGES_DEG
from geometry.words.names import whole_name
from geometry.words.solution import Remedy, SetPoints, Solution, UsedState
from geometry.words.wording import capital, small

_OUTPUT: Final = ("powertrain.slope_deg",)
_PINION: Final = ("axle.pinion_slope_deg",)
_STICK: Final = ("readings.shaft_slope_deg",)
_LENGTH: Final = ("readings.shaft_length_mm",)
_POINTS: Final = ("powertrain.output_joint_mm", "axle.centre_mm", "axle.pinion_length_mm")
_SAME_MM: Final = 0.05  # two readings that show as one number
_SET_FROM_MM: Final = 0.5
_MANY_STATES: Final = 3
"""More than so many other states are told briefly by what lies at both ends."""
_CENTRED_MM: Final = LIMITS["lateral_lift"].clear
"""By how much a lateral link may be off the length that centres the axle before another is told."""
_PERCH_MM: Final = LIMITS["perches_equal"].clear
"""A perch that is nearer to its place stays."""
SET_FROM_DEG: Final = 0.25
"""Half a wedge's step: no smaller difference is told as to be set, but what the remedy itself turns."""
_MOST_OF_A_LINE: Final = 20
"""Letters of a hose's name that a row has room for; a longer one is called by what it is."""
NONE: Final = "none"
TACKED: Final = "Seat to pinion, to tack"
"""With the pull of the weld taken out."""
FLANGES: Final = {None: "flange", "wheel_flange": "wheel flange", "housing_flange": "end flange"}
"""What the perches are measured from; neutral where that is not entered."""


@dataclass(frozen=True, slots=True)
class SetPoint:
    """One row: the number in large type, a note beside it, or what to measure where the number is not known."""

    label: str
    value: str
    note: str = ""
    wants: str = ""
    spare: bool = False
    """A row that yields where the page is full: it repeats an entry, and the check list asks for it too."""
    now: str = ""
    """What the gauge or the tape shows now, without the plan, where that is another number; none of what is fitted."""

    @property
    def leans(self) -> str:
        """Which way, where the note says that and not the other unit."""
        return "" if self.note.startswith("(") else self.note

    @property
    def changes(self) -> bool:
        """Whether something is to be set other than it is, fitted, or moved."""
        return bool(self.now)


def _rows(build: Build, points: SetPoints) -> list[SetPoint]:
    """Rows of some set-points, without what each is now."""
    ahead, two = is_front_axle(build), isinstance(build.shaft, TwoPieceShaft)
    lines = (*_OUTPUT, *_stick(build), *_PINION)
    up, down = ("nose down", "nose up") if ahead else ("nose up", "nose down")
    output = _slope(build, "Output slope", points.output_slope_deg, "tail down", "tail up", _OUTPUT)
    pinion = _slope(build, "Pinion slope", points.pinion_slope_deg, up, down, lines)
    loose = value_at(build, "plan.perches") == "loose"
    rows = [pinion, output] if loose else [output, pinion]
    rows += _blocks(build)
    rows += _plates(build)
    if not loose:
        rows.append(_wedge(build, points.axle_shim_deg, lines))
    if value_at(build, "plan.mounts") != "loose":
        rows.append(_shim(build, points.mount_shim_mm))
    rows += _moved(build, "Engine", points.powertrain_rise_mm, "raise", "lower")
    rows += _moved(build, "Engine", points.powertrain_aft_mm, "move back", "move forward")
    if points.perch_to_pinion_deg is not None or not on_links(build):
        rows.append(_seat(build, points.perch_to_pinion_deg, lines, ahead=ahead))
    rows += [
        _slope(build, "Shaft slope", points.shaft_slope_deg, "down to the rear", "up to the rear", _stick(build)),
        _length(build, "Rear section" if two else "Joint to joint", points.shaft_length_mm, _ends(build)),
        _length(build, "Spline engaged", points.slip_engaged_mm, ("shaft.slip.engaged_mm",)),
    ]
    for label, length_mm in (
        ("Slip stroke", points.slip_stroke_mm),
        ("Shackle to make", points.shackle_length_mm),
        ("Lateral link", points.lateral_link_mm),
        ("Link that centres", _other_length(points)),
        ("Bearing height", points.bearing_height_mm),
    ):
        if length_mm is not None:
            rows.append(_length(build, label, length_mm, ()))
    shackle_mm = value_at(build, "suspension.shackle_length_mm")
    return [
        replace(one, now="not measured" if shackle_mm is None else both_lengths(shackle_mm, build.display)[0])
        if one.label == "Shackle to make"
        else one
        for one in rows
    ]


def states_words(build: Build, solution: Solution, *, brief: bool = False, at_ends: bool = False) -> tuple[str, ...]:
    """For which state the set-points are, and what they come to in each other, a line each; none where there is one.

    Briefly, slopes of output and pinion alone; of many states, or `at_ends`, the least and the most of them.
    """
    if not solution.states:
        return ()
    first, *others = solution.states
    if brief and (at_ends or len(others) > _MANY_STATES):
        return (f"Set so {first.name}; in its {len(others)} other states it comes to:", _range_words(build, others))
    words = later_words if brief else _state_words
    return (f"Set so {first.name}; it then comes to:", *(words(build, one) for one in others))


def _range_words(build: Build, states: Sequence[UsedState]) -> str:
    """What output and pinion come to at least and at most in several states."""
    said = []
    for what, slopes in (
        ("output", [one.output_slope_deg for one in states]), ("pinion", [one.pinion_slope_deg for one in states]),
    ):  # fmt: skip
        known = [one for one in slopes if one is not None]
        if known:
            ends = [show(one, "deg", build.display) for one in (min(known), max(known))]
            said.append(f"{what} {' to '.join(dict.fromkeys(ends))}")
    return ", ".join(said) or "not known"


def later_words(build: Build, state: UsedState) -> str:
    """What output and pinion come to in a state, in a few letters: settled: output 2.0°, pinion 4.1°."""
    said = [
        f"{what} {show(slope, 'deg', build.display)}"
        for what, slope in (("output", state.output_slope_deg), ("pinion", state.pinion_slope_deg))
        if slope is not None
    ]
    return f"{state.name}: {', '.join(said) or 'not known'}"


def _state_words(build: Build, state: UsedState) -> str:
    up, down = ("nose down", "nose up") if is_front_axle(build) else ("nose up", "nose down")
    said = [
        f"{what} {leaning(slope, down=low, up=high)}"
        for what, slope, low, high in (
            ("output", state.output_slope_deg, "tail down", "tail up"),
            ("pinion", state.pinion_slope_deg, up, down),
            ("shaft", state.shaft_slope_deg, "down to the rear", "up to the rear"),
        )
        if slope is not None
    ]
    if state.shaft_length_mm is not None:
        said.append(f"joint to joint {both_lengths(state.shaft_length_mm, build.display)[0]}")
    taken = f" ({state.taken})" if state.taken else ""
    return f"{state.name}{taken}: {', '.join(said) if said else 'not known, as its load or its springs are not'}"


def set_points(build: Build, solution: Solution) -> tuple[SetPoint, ...]:
    """Rows in the order in which they are set, engine to axle."""
    points = as_told(build, solution)
    rows, stay = _rows(build, points), _staying(build, solution)
    now = {label: text for label, text in _now(build, solution, rows).items() if label not in stay}
    made = [replace(one, now=now.get(one.label, "")) if one.value else one for one in rows]
    if points.tack_to_pinion_deg is not None:
        row = _seat(build, points.tack_to_pinion_deg, (), ahead=is_front_axle(build))
        place = next(number for number, one in enumerate(made) if one.label == row.label)
        made.insert(place + 1, replace(row, label=TACKED))
    return (*made, *_lines(build, solution), *_stops(build, solution), *_perches(build, points))


def _other_length(points: SetPoints) -> float | None:
    """Length of the lateral link that centres the axle, where the planned one leaves it off by more than is unseen."""
    planned, centring = points.lateral_link_mm, points.link_centring_mm
    return None if planned is None or centring is None or abs(planned - centring) < _CENTRED_MM else centring


def _stops(build: Build, solution: Solution) -> list[SetPoint]:
    """How far up the stops may be touched, and how far down straps may let the axle, where that is worked out."""
    allowed = None if solution.brackets is None else solution.brackets.allowed
    if allowed is None:
        return []
    rows = []
    for label, most_mm in (("To stops, at most", allowed.stop_mm), ("To straps, at most", allowed.droop_mm)):
        value, other = both_lengths(most_mm, build.display)
        rows.append(SetPoint(label, value, f"({other})", spare=True))
    return rows


_JUDGED: Final = {
    "Output slope": "output_slope_deg",
    "Pinion slope": "pinion_slope_deg",
    "Shaft slope": "shaft_slope_deg",
    "Seat to pinion": "perch_to_pinion_deg",
    "Joint to joint": "shaft_length_mm",
    "Rear section": "shaft_length_mm",
    "Spline engaged": "slip_engaged_mm",
    "Slip stroke": "slip_stroke_mm",
    "Bearing height": "bearing_height_mm",
}
"""For each row that may differ by less than anybody sets: the number behind it."""
_TURNED_BY: Final = {
    "plan.mount_shim_mm": ("output_slope_deg",),
    "plan.powertrain_slope_deg": ("output_slope_deg",),
    "plan.axle_shim_deg": ("pinion_slope_deg",),
    "plan.pinion_slope_deg": ("pinion_slope_deg", "perch_to_pinion_deg"),
    "shaft.slip.engaged_mm": ("slip_engaged_mm",),
    "shaft.slip.stroke_mm": ("slip_stroke_mm",),
    "shaft.bearing_mm": ("bearing_height_mm",),
}
"""For each entry that a remedy may change: the numbers that it sets thereby."""


def as_told(build: Build, solution: Solution) -> SetPoints:
    """The one set of numbers that sheet, drawing, window and papers show.

    What is drawn so by less than anybody sets reads as it is drawn; what the remedy itself turns reads as it is to be
    set, even where that is a tenth.
    """
    points, drawn, turned = solution.setpoints, _drawn(solution), _turned(build, solution)
    same = {
        name: getattr(drawn, name)
        for name in _JUDGED.values()
        if name not in turned and near(name, getattr(points, name), getattr(drawn, name))
    }
    seat, tack = same.get("perch_to_pinion_deg"), points.tack_to_pinion_deg
    if tack is not None and seat is not None and points.perch_to_pinion_deg is not None:
        same["tack_to_pinion_deg"] = tack + seat - points.perch_to_pinion_deg  # by the same pull as before
    return replace(points, **same)


def to_tack(points: SetPoints) -> float | None:
    """Seat to pinion to tack at: with the pull of the weld taken out where that is reckoned with."""
    return points.perch_to_pinion_deg if points.tack_to_pinion_deg is None else points.tack_to_pinion_deg


def to_fit(build: Build, solution: Solution) -> tuple[str, ...]:
    """What is fitted before anything is read, as orders: every angle to set is with it in place.

    The engine comes before the wedges, as the axle is set to what stands.
    """
    points, display, orders = solution.setpoints, build.display, list[str]()
    for end in ("rear", "front"):
        lift_mm = value_at(build, f"plan.{end}_lift_mm")
        if lift_mm and value_at(build, f"plan.{end}_lift_by") == "block":
            lower = "" if lift_mm > 0.0 else ", which lower it"
            orders.append(f"fit {show_planned(abs(lift_mm), display)} blocks at the {end}{lower}")
    if points.shackle_length_mm is not None:
        orders.append(f"fit shackles of {both_lengths(points.shackle_length_mm, display)[0]}, bolt to bolt")
    for what, by_mm, up, down in (
        ("rear mount", points.mount_shim_mm, "raise", "lower"), ("engine", points.powertrain_rise_mm, "raise", "lower"),
    ):  # fmt: skip
        if by_mm:
            orders.append(f"{up if by_mm > 0.0 else down} the {what} by {moved_words(by_mm, display)}")
    aft_mm = points.powertrain_aft_mm
    if aft_mm:
        orders.append(f"move the engine {'back' if aft_mm > 0.0 else 'forward'} by {moved_words(aft_mm, display)}")
    wedge = points.axle_shim_deg
    if wedge and not on_links(build) and abs(wedge) <= WEDGES_DEG[-1]:
        orders.append(f"fit {_wedge_size(build, wedge)} wedges on both perches, {_raising(wedge)} the nose")
    for place, thick_mm in _plates_of(build):
        orders.append(f"put a {show_planned(thick_mm, display)} plate between the flanges at the {place}")
    return tuple(orders)


def _raising(wedge_deg: float) -> str:
    return "raising" if wedge_deg > 0.0 else "lowering"


def near(name: str, one: float | None, other: float | None) -> bool:
    """Whether a number is another one by less than anybody sets."""
    least = SET_FROM_DEG if name.endswith("_deg") else _SET_FROM_MM
    return one is not None and other is not None and abs(one - other) < least


def _turned(build: Build, solution: Solution) -> frozenset[str]:
    """Numbers that the remedy which the set-points are with sets itself."""
    remedy = recommended(build, solution)
    changed = () if remedy is None else remedy.changes
    return frozenset(name for entry in changed for name in _TURNED_BY.get(entry, ()))


def _staying(build: Build, solution: Solution) -> set[str]:
    """Rows that stay: drawn so, and measured so, by less than anybody sets, and not turned by the remedy."""
    drawn, turned, points = _drawn(solution), _turned(build, solution), solution.setpoints
    return {
        label
        for label, name in _JUDGED.items()
        if name not in turned
        and all(near(name, getattr(points, name), getattr(was, name)) for was in (drawn, solution.measured))
    }


def _drawn(solution: Solution) -> SetPoints:
    """The lines and the length as the drawing has them: after the plan, before any remedy."""
    angles, sections = solution.angles, solution.shaft.sections
    length_mm = sections[-1].length_mm if len(sections) > 1 else solution.shaft.length_mm
    return replace(
        solution.measured, output_slope_deg=angles.output_slope_deg, pinion_slope_deg=angles.pinion_slope_deg,
        shaft_slope_deg=angles.shaft_slope_deg, shaft_length_mm=length_mm,
    )  # fmt: skip


def _now(build: Build, solution: Solution, rows: list[SetPoint]) -> dict[str, str]:
    """By its label, what each row that is set to something else is as measured, in the words of the row."""
    made = {}
    measured = {one.label: one for one in _rows(build, solution.measured)}
    for one in rows:
        before = measured.get(one.label)
        if one.now:
            made[one.label] = one.now
        elif before is None or not before.value:
            continue
        elif one.leans and before.leans and one.leans != before.leans:
            made[one.label] = f"{before.value} {before.leans}"
        elif one.value != before.value:
            made[one.label] = before.value
    return made


def on_links(build: Build) -> bool:
    """Whether the axle hangs on links: then it is turned and tacked at their brackets and has no perches."""
    return bool(value_at(build, "suspension.kind") == "links")


def variant_words(build: Build, solution: Solution) -> str:
    """Whose the set-points are where they are not the plan's, e.g. with the first remedy of: ends apart; or nothing."""
    remedy = recommended(build, solution)
    if remedy is None:
        return ""
    title = next(one.title for one in solution.findings if one.remedy is not None)
    return f"with the first remedy of: {small(title)}; {whole_name(build)} then: {remedy.verdict}"


def recommended(build: Build, solution: Solution) -> Remedy | None:
    """The remedy that the set-points are with: the first of the first finding that has one; None without one."""
    remedy = next((one.remedy for one in solution.findings if one.remedy is not None), None)
    if remedy is None or all(value_at(build, entry) == value for entry, value in remedy.changes.items()):
        return None
    return remedy


def ordered_for(build: Build, solution: Solution) -> tuple[Build, Solution]:
    """The variant that the set-points are of, as the shaft is ordered for it, whatever it would recommend further."""
    remedy = recommended(build, solution)
    if remedy is None:
        return build, solution
    try:
        other = edited(build, remedy.changes)
    except ValidationError:
        return build, solution
    return other, replace(solve(other), on_order=lambda: solution.order)


def wanted(build: Build, entries: tuple[str, ...]) -> str:
    """Which of some entries are still to be measured, by the names that the screen gives them."""
    absent = [title_of(entry) for entry in dict.fromkeys(entries) if value_at(build, entry) is None]
    return f"measure: {', '.join(small(name) for name in absent)}" if absent else "not known"


def both_lengths(value_mm: float, display: Display, *, inch_places: int | None = None) -> tuple[str, str]:
    """A length in the person's unit, and in the other one."""
    inches = show(value_mm, "mm", SIXTEENTHS if display.inches else INCHES, places=inch_places)
    millimetres = show(value_mm, "mm", MILLIMETRES, places=2 if inch_places == 3 else None)
    return (inches, millimetres) if display.length == "inch" else (millimetres, inches)


def _stick(build: Build) -> tuple[str, ...]:
    return _points(build) if value_at(build, "axle.centre_mm") is not None else by_stick(build, *_STICK)


def _ends(build: Build) -> tuple[str, ...]:
    return _points(build) if value_at(build, "axle.centre_mm") is not None else by_stick(build, *_LENGTH)


def by_stick(build: Build, *entries: str) -> tuple[str, ...]:
    """What slope or length of a shaft hang on by stick and tape: under a block on both, and on the seat's slope."""
    end = "front" if is_front_axle(build) else "rear"
    block = value_at(build, f"plan.{end}_lift_mm") and value_at(build, f"plan.{end}_lift_by") == "block"
    return (*_STICK, *_LENGTH, "readings.seat_slope_deg") if block else entries


def _points(build: Build) -> tuple[str, ...]:
    """What tells where the joints are; of a front axle's pinion also how far it lies aside."""
    return (*_POINTS, "axle.pinion_offset_mm") if is_front_axle(build) else _POINTS


def _slope(build: Build, label: str, slope_deg: float | None, down: str, up: str, wants: tuple[str, ...]) -> SetPoint:
    if slope_deg is None:
        return SetPoint(label, "", wants=wanted(build, wants))
    value, _, note = leaning(slope_deg, down=down, up=up).partition(" ")
    return SetPoint(label, value, note)


def _seat(build: Build, seat_deg: float | None, lines: tuple[str, ...], *, ahead: bool) -> SetPoint:
    """From the spring seat's flat to the pinion: a rear axle's nose is up where the angle is positive."""
    label = "Seat to pinion"
    if seat_deg is None:
        return SetPoint(label, "", wants=wanted(build, ("readings.seat_slope_deg", *lines)))
    up, down = ("nose down from seat", "nose up from seat") if ahead else ("nose up from seat", "nose down from seat")
    value, _, note = leaning(seat_deg, down=up, up=down).partition(" ")
    return SetPoint(label, value, note)


def _wedge(build: Build, wedge_deg: float | None, wants: tuple[str, ...]) -> SetPoint:
    """A wedge of more than nothing raises the nose, whichever way the pinion points."""
    if on_links(build):
        return _turn(build, wedge_deg, wants)
    if wedge_deg is None:
        return SetPoint("Wedge, each perch", "", wants=wanted(build, wants))
    if wedge_deg == 0.0:
        return SetPoint("Wedge, each perch", NONE)
    if abs(wedge_deg) > WEDGES_DEG[-1]:
        return SetPoint("Wedge, each perch", "not sold", "cut the perches off and weld them to the slope")
    return SetPoint(
        "Wedge, each perch", _wedge_size(build, wedge_deg), "raises the nose" if wedge_deg > 0.0 else "lowers the nose"
    )


def _wedge_size(build: Build, wedge_deg: float) -> str:
    return show(abs(wedge_deg), "deg", build.display, places=0 if float(wedge_deg).is_integer() else 1)


def _turn(build: Build, turn_deg: float | None, wants: tuple[str, ...]) -> SetPoint:
    """An axle on links has no perches: it is turned at its links."""
    if turn_deg is None:
        return SetPoint("Turn of the axle", "", wants=wanted(build, wants))
    if turn_deg == 0.0:
        return SetPoint("Turn of the axle", NONE)
    way = "raises the nose" if turn_deg > 0.0 else "lowers the nose"
    return SetPoint("Turn of the axle", show(abs(turn_deg), "deg", build.display), way)


def _shim(build: Build, shim_mm: float | None) -> SetPoint:
    label = "Rear mount"
    if shim_mm is None:
        return SetPoint(label, "", wants="not known")
    return next(iter(_moved(build, label, shim_mm, "raise", "lower")), SetPoint(label, "as it is"))


def _moved(build: Build, what: str, by_mm: float | None, up: str, down: str) -> list[SetPoint]:
    """What is moved from where it stands, as the tape measures it; no row where it stays."""
    if not by_mm:
        return []
    other = both_lengths(abs(by_mm), build.display)[1]
    value = moved_words(by_mm, build.display)
    return [SetPoint(f"{what}: {up if by_mm > 0.0 else down} by", value, f"({other})", now=NONE)]


def moved_words(by_mm: float, display: Display) -> str:
    """By how much something is moved or shimmed: as the tape reads it, but no whole millimetre that it is not."""
    taped = show_tape(abs(by_mm), display)
    whole = display.length == "millimetre" and taped.startswith("≈")
    return show_planned(abs(by_mm), display) if whole else taped.removeprefix("≈ ")


def _blocks(build: Build) -> list[SetPoint]:
    """Blocks that are planned, which nothing measured has yet."""
    rows = []
    for end in ("rear", "front"):
        lift_mm = value_at(build, f"plan.{end}_lift_mm")
        if lift_mm and value_at(build, f"plan.{end}_lift_by") == "block":
            other = both_lengths(abs(lift_mm), build.display)[1]
            value = show_planned(abs(lift_mm), build.display)
            note = f"({other})" if lift_mm > 0.0 else "lowers it"
            rows.append(SetPoint(f"Block, {end}", value, note, now=NONE))
    return rows


def _plates(build: Build) -> list[SetPoint]:
    """Plates between flanges that are planned, which nothing measured has yet."""
    return [
        SetPoint(
            f"Plate, {place}", show_planned(thick_mm, build.display), f"({both_lengths(thick_mm, build.display)[1]})",
            now=NONE,
        )
        for place, thick_mm in _plates_of(build)
    ]  # fmt: skip


def _plates_of(build: Build) -> list[tuple[str, float]]:
    """Where a plate is planned, and how thick."""
    ends = (("gearbox", "plan.output_adapter_mm"), ("pinion", "plan.pinion_adapter_mm"))
    return [(place, thick_mm) for place, entry in ends if (thick_mm := value_at(build, entry))]


def _length(build: Build, label: str, length_mm: float | None, wants: tuple[str, ...]) -> SetPoint:
    if length_mm is None:
        return SetPoint(label, "", wants=wanted(build, wants))
    value, other = both_lengths(length_mm, build.display)
    return SetPoint(label, value, f"({other})")


def _lines(build: Build, solution: Solution) -> list[SetPoint]:
    """Hoses, cables and wires: the length to buy, or that of one that is long enough, which stays."""
    rows = []
    for number, (line, one) in enumerate(zip(build.flexible_lines, solution.lines, strict=True), 1):
        label = capital(line.name)
        if len(label) > _MOST_OF_A_LINE:
            from app.measuring.entries import choice_words  # of few builds

            label = f"{capital(choice_words(line.type))} {number}"
        if one.apart_mm is None or one.slack_mm is None or one.buy_mm is None:
            asked = next((found for found in solution.findings if found.id == f"line_slack_{number}"), None)
            wants = () if asked is None else (asked.entry,)
            rows.append(SetPoint(label, "", wants=wanted(build, wants)))
            continue
        free = line.free_length_mm
        stays = free is not None and free >= one.apart_mm + one.slack_mm
        value, other = both_lengths(free if stays and free is not None else one.buy_mm, build.display)
        was = "not measured" if free is None else both_lengths(free, build.display)[0]
        rows.append(SetPoint(label, value, f"({other})", now="" if stays else was))
    return rows


def flange_of(build: Build) -> str:
    """From which flange the perches are measured, in the words of every paper."""
    return FLANGES[value_at(build, "perches.measured_from")]


def to_perches(build: Build) -> str:
    """The label of the row that tells how far the perches are from their flanges."""
    label = f"{flange_of(build)} to perches"
    return capital(label)


def _perches(build: Build, points: SetPoints) -> list[SetPoint]:
    """Where the perches sit along the tube: under their springs, the same from both flanges, as far as it is known."""
    rows = []
    spacing, place = points.perch_spacing_mm, points.flange_to_perch_mm
    sides = [value_at(build, f"axle.flange_to_perch_{side}_mm") for side in ("left", "right")]
    if spacing is not None:
        label = "Spring to spring" if on_links(build) else "Perch to perch"
        rows.append(_spare(build, label, spacing, [value_at(build, "axle.perch_spacing_mm")]))
    if place is not None:
        rows.append(_spare(build, to_perches(build), place, sides))
    elif None not in sides and abs(sides[0] - sides[1]) < _SAME_MM:
        rows.append(_spare(build, to_perches(build), sides[0], []))
    return rows


def _spare(build: Build, label: str, length_mm: float, now: list[float | None]) -> SetPoint:
    """A length across, with what is measured where that is other; where it is not, the row may yield."""
    value, other = both_lengths(length_mm, build.display)
    off = any(one is not None and abs(one - length_mm) > _PERCH_MM for one in now)
    known = dict.fromkeys(both_lengths(one, build.display)[0] for one in now if one is not None)
    before = " and ".join(known) if off else ""
    return SetPoint(label, value, f"({other})", spare=not before, now=before)
