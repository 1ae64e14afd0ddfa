"""In which entries two builds differ, in the words of the entries: for questions about two states of one build."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from app.complaints import title_of
from geometry import Build

_NAMED: Final = 4


def differing(one: Build, other: Build) -> list[str]:
    """Titles of the entries that are not the same in both; a point is one entry. Empty only for equal builds.

    >>> from geometry import edited
    >>> differing(Build(), edited(Build(), {"axle.ratio": 3.73, "shocks.0": {"name": "left"}}))
    ['Axle ratio', 'Shocks 1: Name']
    """
    here, there = (dict(_entries(build.model_dump(exclude_defaults=True), "")) for build in (one, other))
    paths = dict.fromkeys((*here, *there))
    return [entry_title(path) for path in paths if here.get(path) != there.get(path)] or (
        [] if one == other else ["a section with nothing in it"]
    )


def counted(titles: list[str]) -> str:
    """How many entries, and which.

    >>> counted(["Pinion slope", "Axle ratio"])
    '2 entries: Pinion slope, Axle ratio'
    """
    more = f" and {len(titles) - _NAMED} more" if len(titles) > _NAMED else ""
    return f"{len(titles)} {'entry' if len(titles) == 1 else 'entries'}: {', '.join(titles[:_NAMED])}{more}"


def _entries(tree: Mapping[str, Any], prefix: str) -> Iterator[tuple[str, object]]:
    for name, value in tree.items():
        path = f"{prefix}{name}"
        if isinstance(value, dict) and name != "changes":  # of a kept plan, whose paths are its own
            yield from _entries(value, f"{path}.")
        elif isinstance(value, tuple) and any(isinstance(item, dict) for item in value):
            for number, item in enumerate(value):
                yield from _entries(item, f"{path}.{number}.")
        else:
            yield path, value


def entry_title(path: str) -> str:
    """What an entry is called, with what it belongs to where its own name alone would not tell."""
    section, *inner = path.split(".")
    if not inner:
        return title_of(path)
    if inner[0].isdecimal():
        which = "" if section == "drivelines" else f" {int(inner[0]) + 1}"
        return f"{title_of(section)}{which}: {title_of(path)}"
    if len(inner) > 1 or inner == ["kind"]:
        return f"{title_of(path.rpartition('.')[0])}: {title_of(path)}"
    return title_of(path)
