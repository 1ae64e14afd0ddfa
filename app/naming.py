"""What an entry is called for people: one name, whoever asks, and no two entries of a build have the same."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from app.complaints import title_of
from app.drawing.palette import VERDICT_SIGNS
from geometry.document import Build, edited, value_at
from geometry.document.entries import numeric_paths
from geometry.document.sides import SECOND, end_of, other_end, path_swapped, swapped
from geometry.words.both import other_verdict
from geometry.words.wording import capital

AXES: Final = {2: ("rearward", "up"), 3: ("rearward", "right", "up")}
"""What the numbers of a point mean: stations in side view, and in space."""


_PART_WORDS: Final = {
    "torque_bars": "torque bars",
    "lateral_link": "lateral link",
    "flexible_lines": "hose or wire",
    "suspension": "springs or links",
}


def name_of(build: Build, path: str) -> str:
    """Name of a numeric entry of a build: whose it is where others are called the same, and which part of a point.

    >>> name_of(Build(), "axle.ratio"), name_of(Build(), "shaft.rear_joint.max_angle_deg")
    ('Axle ratio', 'Rear joint: Greatest angle')
    >>> from geometry import edited
    >>> name_of(edited(Build(), {"axle.centre_mm": (1000.0, 0.0, 300.0)}), "axle.centre_mm.2")
    'Axle centre, up'
    >>> name_of(Build(), "plan.powertrain_shift_mm.1")
    'Engine and gearbox shift, up'

    One of the other driveline is told with its end: Output slope at the front.
    """
    if path.startswith(SECOND) and path_swapped(path) != path:
        return f"{name_of(swapped(build), path_swapped(path))} at the {other_end(end_of(build))}"
    head, _, last = path.rpartition(".")
    if not last.isdecimal():
        return _with_owner(build, path)
    if head.endswith("gear_ratios"):
        return f"{_with_owner(build, head)}, gear {int(last) + 1}"
    point = value_at(build, head)
    parts = len(point) if point is not None else 2 + (f"{head}.2" in numeric_paths())
    return f"{_with_owner(build, head)}, {AXES[parts][int(last)]}"


def _with_owner(build: Build, path: str) -> str:
    """An entry's title; that of an item of a list with the item's name, a shared one with its part's."""
    title, (section, *inner) = title_of(path), path.split(".")
    if inner[0].isdecimal():
        return f"{_item(build, section, int(inner[0]))}: {title}"
    owner = title_of(path.rpartition(".")[0]) if len(inner) > 1 and title in _shared() else ""
    return title if title.startswith(owner) else f"{owner}: {title}"


def _item(build: Build, section: str, number: int) -> str:
    """What the person calls an item of a list, with its number where that does not tell it from another one."""
    items = getattr(build, section)
    names = [getattr(one, "name", title_of(section)) for one in items]
    name = names[number]
    return f"{capital(name)}{f' {number + 1}' if names.count(name) > 1 else ''}"


@cache
def _shared() -> frozenset[str]:
    """Titles that several numeric entries have, of parts that are made alike."""
    titles = Counter(title_of(path) for path in numeric_paths() if "*" not in path and not path[-1].isdecimal())
    return frozenset(title for title, count in titles.items() if count > 1)


def other_words(build: Build, changes: Mapping[str, Any] | None = None) -> str:
    """What the other shaft of two is, and with changes what it then is where one of them is of both; else nothing."""
    if not build.drivelines or (changes is not None and all(path_swapped(path) != path for path in changes)):
        return ""
    verdict = other_verdict(build if changes is None else edited(build, changes))
    then = "" if changes is None else " then"
    return "" if verdict is None else f"{other_end(end_of(build))} shaft{then}: {VERDICT_SIGNS[verdict]} {verdict}"


def shared_words(build: Build) -> str:
    """What of the plan is the other shaft's too, as a sentence; nothing where there is one shaft."""
    other = other_end(end_of(build))
    return f"Lifts, mounts and their shim are the {other} shaft's too." if build.drivelines else ""


def part_words(part: str) -> str:
    """Part of the drawing in words."""
    return _PART_WORDS.get(part, part.replace("_", " "))
