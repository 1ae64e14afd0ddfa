"""The sections of the measurements in the order of measuring, and which part of the drawing each stands for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from app.measuring.entries import Entry, Group, entries_of, entry_at
from geometry.document import Build, is_front_axle, value_at
from geometry.document.again import ReadAgain
from geometry.document.brackets import FlexibleLine, LateralLink, Obstacle, Plan, Shock, StockedShock, TorqueBar
from geometry.document.driveline import Driveline
from geometry.document.perches import AxleSquare, Clamp, Perches
from geometry.document.quantity import Section
from geometry.document.running_gear import (
    Axle,
    LeafSuspension,
    LinkSuspension,
    OnePieceShaft,
    Tube,
    TwoPieceShaft,
)
from geometry.document.shaft_ends import Face, Mate, ShaftEnd, Wishes
from geometry.document.sides import SECOND
from geometry.document.state import State, Use
from geometry.document.vehicle import Gauge, Powertrain, Readings, Vehicle
from geometry.words.wording import capital

SectionKey = Literal[
    "hurry", "state", "gauge", "vehicle", "powertrain", "axle", "suspension", "shaft", "use", "plan",
    "set_up", "shocks", "torque_bars", "lateral_link", "flexible_lines", "obstacles", "tube_stock",
    "shock_stock", "order", "measured_again", "title",
]  # fmt: skip
KINDS: Final[dict[str, dict[str, tuple[str, type[Section]]]]] = {
    "suspension": {"leaf": ("leaf springs", LeafSuspension), "links": ("links", LinkSuspension)},
    "shaft": {"one_piece": ("one piece", OnePieceShaft), "two_piece": ("two pieces", TwoPieceShaft)},
}
"""Sections that come in kinds: the document's word, the screen's words, the fields. The first is shown at first."""
LISTS: Final[dict[str, tuple[str, type[Section]]]] = {
    "shocks": ("shock", Shock),
    "torque_bars": ("torque bar", TorqueBar),
    "flexible_lines": ("hose or cable", FlexibleLine),
    "obstacles": ("obstacle", Obstacle),
    "tube_stock": ("tube", Tube),
    "shock_stock": ("shock to be had", StockedShock),
    "measured_again": ("set of readings", ReadAgain),
}

AT_WILL: Final[tuple[SectionKey, ...]] = (
    "state", "use", "set_up", "shocks", "torque_bars", "lateral_link", "flexible_lines", "obstacles", "tube_stock",
    "shock_stock", "order", "measured_again",
)  # fmt: skip
"""Sections of what a vehicle need not have: with nothing in them, nothing is missing."""
CALLED: Final[tuple[SectionKey, ...]] = ("tube_stock",)
"""Those of them that another page opens: with nothing in them they take no room."""
_ENDS: Final[dict[str, type[Face]]] = {
    "powertrain.output_end": Mate,
    "shaft.front_end": ShaftEnd,
    "shaft.rear_end": ShaftEnd,
    "axle.pinion_end": Mate,
}
"""What is on the shaft's ends and what they go to, from the gearbox of a rear axle to its pinion."""
_END_TITLES: Final[dict[str, str]] = {
    "powertrain.output_end": "On the gearbox's output",
    "shaft.front_end": "On the shaft, front end",
    "shaft.rear_end": "On the shaft, rear end",
    "axle.pinion_end": "On the pinion",
}
_CAPS: Final = ("series", "other_series", "cap_mm", "span_mm", "clip")
_OF_TYPE: Final[dict[str, tuple[str, ...]]] = {
    "flange": ("pilot_mm", "pilot", "bolt_circle_mm", "bolts", "bolt_mm", "thread"),
    **dict.fromkeys(("caps", "straps", "u_bolts", "clips"), _CAPS),
    "spline": ("spline_teeth", "spline_diameter_mm", "seal_mm", "barrel_mm"),
}
"""Entries of an end that its type has."""

_SIMPLE: Final[dict[str, type[Section]]] = {
    "state": State,
    "use": Use,
    "gauge": Gauge,
    "vehicle": Vehicle,
    "powertrain": Powertrain,
    "plan": Plan,
    "lateral_link": LateralLink,
    "order": Wishes,
}
_SET_UP: Final[dict[str, tuple[str, type[Section]]]] = {
    "perches": ("Perches", Perches),
    "clamp": ("Clamp of the springs", Clamp),
    "square": ("Axle square and straight", AxleSquare),
}
"""Sections that stand together as groups of one: what the axle is set up by."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One section of the form: heading, a line on what it is for, and the part that it stands for in the drawing."""

    key: SectionKey
    title: str
    lead: str
    part: str


HEADINGS: Final[tuple[Heading, ...]] = (
    Heading("hurry", "In a hurry", "Three angles and a length make a verdict.", "shaft"),
    Heading("state", "State when measured", "It cannot be recovered later: note it first.", "vehicle"),
    Heading("gauge", "Gauge and tape", "How finely they read decides what the verdict can tell apart.", "readings"),
    Heading("vehicle", "Vehicle", "As it sits at ride height on a level floor.", "vehicle"),
    Heading("powertrain", "Engine and gearbox", "", "powertrain"),
    Heading("axle", "Axle and pinion", "", "axle"),
    Heading("suspension", "Springs or links", "", "suspension"),
    Heading("shaft", "Shaft and joints", "", "shaft"),
    Heading("use", "How it is used", "Settled, empty and laden: it is judged in each.", "vehicle"),
    Heading("plan", "Plan", "What is to be changed; the measurements stay as they are.", "perches"),
    Heading("set_up", "Setting up the axle", "Perches, clamp, square: before the tack, and welded.", "perches"),
    Heading("shocks", "Shocks", "", "shocks"),
    Heading("torque_bars", "Torque bars", "", "torque_bars"),
    Heading("lateral_link", "Lateral link", "", "lateral_link"),
    Heading(
        "flexible_lines",
        "Hoses, cables, wires",
        "What runs from the frame to the axle: is it long enough?",
        "flexible_lines",
    ),
    Heading("obstacles", "Obstacles", "What the shaft or the powertrain could touch.", "obstacles"),
    Heading("shock_stock", "Shocks to be had", "Those in hand: which of them would fit is told.", "shocks"),
    Heading("tube_stock", "Tubes to be had", "What your supplier keeps; else common trade sizes are taken.", ""),
    Heading("order", "Shaft order", "What the shaft's builder asks besides all sizes.", "shaft"),
    Heading(
        "measured_again",
        "Measured again",
        "After the tack, after the weld and after the drive: does it sit as set?",
        "perches",
    ),
    Heading("title", "Title and notes", "They head the build sheet.", ""),
)

PARTS: Final[dict[str, tuple[SectionKey, str]]] = {
    "vehicle": ("vehicle", "vehicle"),
    "powertrain": ("powertrain", "powertrain"),
    "shaft": ("shaft", "shaft"),
    "front_joint": ("shaft", "shaft.front_joint"),
    "centre_joint": ("shaft", "shaft.centre_joint"),
    "rear_joint": ("shaft", "shaft.rear_joint"),
    "bearing": ("shaft", "shaft.bearing_mm"),
    "axle": ("axle", "axle"),
    "suspension": ("suspension", "suspension"),
    "perches": ("axle", "axle.perch_spacing_mm"),
    "obstacles": ("obstacles", "obstacles"),
    "flexible_lines": ("flexible_lines", "flexible_lines"),
    "shocks": ("shocks", "shocks"),
    "torque_bars": ("torque_bars", "torque_bars"),
    "lateral_link": ("lateral_link", "lateral_link"),
    "readings": ("hurry", "readings"),
}
"""Part of the drawing -> the section that comes forward, and the path within it. The one table for both ways."""

_PART_OF_ENTRY: Final[dict[str, str]] = {
    **{path: part for part, (_, path) in PARTS.items() if part != "readings"},
    "readings.shaft_slope_deg": "shaft",
    "readings.shaft_length_mm": "shaft",
    "readings.seat_slope_deg": "perches",
    "axle.flange_to_perch_left_mm": "perches",
    "axle.flange_to_perch_right_mm": "perches",
    "perches": "perches",
    "clamp": "perches",
    "square": "axle",
    "plan.perches": "perches",
    "plan.axle_shim_deg": "perches",
    "plan.pinion_slope_deg": "perches",
    "plan.rear_lift_mm": "suspension",
    "plan.rear_lift_by": "suspension",
    "plan.mounts": "powertrain",
    "plan.mount_shim_mm": "powertrain",
    "plan.powertrain_slope_deg": "powertrain",
    "plan.powertrain_shift_mm": "powertrain",
    "plan.lateral_link_longer_mm": "lateral_link",
}

HURRY: Final[tuple[Entry, ...]] = (
    entry_at(Powertrain, "slope_deg", "powertrain"),
    entry_at(Readings, "shaft_slope_deg", "readings"),
    entry_at(Axle, "pinion_slope_deg", "axle"),
    entry_at(Readings, "shaft_length_mm", "readings"),
)


_OWN: Final[dict[str, SectionKey]] = dict(
    zip((entry.path for entry in HURRY), ("powertrain", "shaft", "axle", "shaft"), strict=True)
)


def _more_entered(build: Build, key: SectionKey) -> bool:
    """Whether a section holds more than what is read in a hurry."""
    counted = {"number", "point", "ratios"}
    return any(
        entry.kind in counted and entry not in HURRY and value_at(build, entry.path) is not None
        for entry in flat(contents(build, key))
    )


def part_of(path: str) -> str:
    """Part of the drawing that an entry belongs to, the nearest one; nothing where there is none."""
    steps = path.split(".")
    for end in range(len(steps), 0, -1):
        part = _PART_OF_ENTRY.get(".".join(steps[:end]))
        if part is not None:
            return part
    return ""


def kind_of(build: Build, key: str) -> str:
    """Kind of a section that comes in kinds; the first one where the section is not there yet."""
    found = value_at(build, f"{key}.kind")
    return next(iter(KINDS[key])) if found is None else str(found)


def contents(build: Build, key: SectionKey) -> tuple[Entry | Group, ...]:
    """Entries and groups of a section as the build stands; lists of things give one group for each thing."""
    if key == "hurry":
        return HURRY
    if key == "title":
        return (entry_at(Build, "title", ""), entry_at(Build, "notes", ""))
    if key in LISTS or key == "set_up":
        return _groups(build, key)
    if key == "axle":
        return (*_asked(build, _but_ends(Axle, "axle")), entry_at(Readings, "seat_slope_deg", "readings"))
    model = KINDS[key][kind_of(build, key)][1] if key in KINDS else _SIMPLE[key]
    if key == "shaft":
        ends = (_end(build, path) for path in _ends_in_order(build))
        return (HURRY[1], HURRY[3], *_but_ends(model, key), *ends)
    drive = (entry_at(Driveline, "drive", SECOND.rstrip(".")),) if key == "powertrain" and build.drivelines else ()
    return (*drive, *_asked(build, _but_ends(model, key)))


def _groups(build: Build, key: SectionKey) -> tuple[Group, ...]:
    """A group for each thing of a list, or for each section by which the axle is set up."""
    if key == "set_up":
        return tuple(_group(path, title, model) for path, (title, model) in _SET_UP.items())
    word, model = LISTS[key]
    groups = tuple(
        _group(f"{key}.{number}", f"{capital(word)} {number + 1}", model) for number in range(len(getattr(build, key)))
    )
    return tuple(_by_engine(build, one) for one in groups) if key == "obstacles" else groups


def _by_engine(build: Build, item: Group) -> Group:
    """An obstacle without how far it reaches sideways where the engine does not carry it, and nothing stands there."""
    if value_at(build, f"{item.path}.carried_by") == "engine":
        return item
    sides = {f"{item.path}.{end}_mm" for end in ("left", "right")}
    shown = (one for one in item.entries if one.path not in sides or value_at(build, one.path) is not None)
    return Group(item.path, item.title, tuple(shown))


def _asked(build: Build, some: tuple[Entry | Group, ...]) -> tuple[Entry | Group, ...]:
    """Entries without what a front axle alone has, where this is none."""
    return tuple(one for one in some if is_front_axle(build) or not _only_ahead(build, one.path))


def _but_ends(model: type[Section], key: str) -> tuple[Entry | Group, ...]:
    """Entries of a section without the shaft's ends, which stand together behind the shaft."""
    return tuple(one for one in entries_of(model, key) if one.path not in _ENDS)


def _ends_in_order(build: Build) -> tuple[str, ...]:
    """Ends from the gearbox to the axle."""
    output, front, rear, pinion = _ENDS
    return (output, rear, front, pinion) if is_front_axle(build) else (output, front, rear, pinion)


def _end(build: Build, path: str) -> Group:
    """One half of a connection: its type, and what that type has; besides what is entered all the same."""
    entries = [one for one in entries_of(_ENDS[path], path) if isinstance(one, Entry)]
    entries.sort(key=lambda one: not one.path.endswith(".type"))
    has = _OF_TYPE.get(value_at(build, f"{path}.type"), ())
    if has and _ENDS[path] is ShaftEnd:  # whose cross is ordered whatever it goes to
        has = (*has, "cap_mm", "span_mm", "clip")
    shown = [
        one
        for one in entries
        if (name := one.path.rpartition(".")[2]) == "type" or name in has or value_at(build, one.path) is not None
    ]
    return Group(path, _END_TITLES[path], tuple(shown))


def _only_ahead(build: Build, path: str) -> bool:
    """Whether an entry is a front axle's alone, and nothing stands in it."""
    return path.startswith(("axle.caster", "lateral_link.drag_")) and value_at(build, path) is None


def sections_behind(key: SectionKey) -> tuple[str, ...]:
    """Sections of the build from which a section of the form is made."""
    if key == "title":
        return ("title", "notes")
    shown = {entry.path.partition(".")[0] for entry in flat(contents(Build(), key))}
    return tuple(sorted({key, *shown} & set(Build.model_fields)))


def is_begun(build: Build, key: SectionKey) -> bool:
    """Whether a section of the form has anything of the build."""
    return any(value_at(build, section) for section in sections_behind(key))


def _group(path: str, title: str, model: type[Section]) -> Group:
    return Group(path, title, tuple(entry for entry in entries_of(model, path) if isinstance(entry, Entry)))


def flat(items: tuple[Entry | Group, ...]) -> tuple[Entry, ...]:
    """All entries, those of groups in their place."""
    return tuple(entry for item in items for entry in (item.entries if isinstance(item, Group) else (item,)))


def section_of(build: Build, path: str) -> tuple[SectionKey, str]:
    """Section that holds an entry, and the entry's path there: its first entry where the path names a section.

    What is read in a hurry stands in its own section as well, and is looked for there once more of that is entered.
    """
    if path in _OWN:
        own = _OWN[path]
        return (own if _more_entered(build, own) else "hurry"), path
    first = path.partition(".")[0]
    keys = sorted((heading.key for heading in HEADINGS), key=lambda key: key != first)  # most likely in its own
    for key in keys:
        below = ""
        for entry in flat(contents(build, key)):
            if entry.path == path:
                return key, path
            if not below and entry.path.startswith(f"{path}."):
                below = entry.path
        if below:
            return key, below
    return (keys[0], path) if keys[0] == first else ("hurry", HURRY[0].path)


def switched(build: Build, key: str, kind: str) -> dict[str, object]:
    """Edits that turn a section into another kind: what both kinds have is carried over, undo brings back the rest."""
    old = value_at(build, key)
    fields = KINDS[key][kind][1].model_fields
    made: dict[str, object] = {"kind": kind}
    if old is not None:
        tree = old.model_dump()
        made |= {name: value for name, value in tree.items() if name in fields and name != "kind"}
        for one, other in (("tube", "rear_tube"), ("phase_deg", "rear_phase_deg")):
            for source, target in ((one, other), (other, one)):
                if source in tree and source not in fields and target in fields:
                    made[target] = tree[source]
    return {key: made}
