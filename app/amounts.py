"""Values and limits of findings in words, in the person's own units."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Final

from app.units import as_kind, show, show_tape
from geometry.document import Build, joints_of
from geometry.document.vehicle import Display
from geometry.words.solution import Finding

COUNTED: Final = "apart"
"""The unit of what is counted."""


@lru_cache(maxsize=512)  # flags say the same at every step of the travel
def amount(value: float, unit: str, display: Display, places: int | None = None) -> str:
    """Value of a finding in the person's own unit; a unit that nobody converts stands as it is."""
    try:
        return show(value, as_kind(unit or "ratio"), display, places=places)
    except ValueError:
        if places is None:
            places = 0 if abs(value) >= 100 or unit == COUNTED else 1
        text = f"{value:,.{places}f}".replace("-", "−")
        return f"{text} {unit}".rstrip()


def telling_places(finding: Finding, display: Display) -> int | None:
    """Decimals with which a value off its limit does not look equal to it; None where the usual ones do.

    What gauge and tape leave open is less than a gauge's own mark: of it the tenth alone would be half the number.
    """
    value, limit = finding.value, finding.limit
    if finding.id == "gauge_resolution":
        return 2
    if value is None or limit is None or value == limit:
        return None
    near, line = (amount(one, finding.unit, display).removeprefix("≈ ") for one in (value, limit))
    if near != line:
        return None
    usual = amount(limit, finding.unit, display.model_copy(update={"inches": None}))
    decimals = sum(letter.isdecimal() for letter in usual.partition(".")[2])
    return next(
        (
            places
            for places in range(decimals, 5)
            if amount(value, finding.unit, display, places) != amount(limit, finding.unit, display, places)
        ),
        None,
    )


_JOINTS: Final = ("front_joint", "centre_joint", "rear_joint")


def reach_deg(part: str, build: Build) -> float | None:
    """The greatest angle of the joint that a part is; None where it is not entered, or the part is no joint."""
    names = ("front_joint", "rear_joint") if len(joints_of(build)) == 2 else _JOINTS
    joint = joints_of(build)[names.index(part)] if part in names else None
    return None if joint is None else joint.max_angle_deg


def as_read(finding: Finding, build: Build) -> Finding:
    """A finding with the numbers that a gauge shows: of a joint's reach the angle itself, not what is left of it."""
    most = reach_deg(finding.part, build)
    if finding.id != "joint_bind" or most is None or finding.limit is None:
        return finding
    left = (finding.value, finding.limit, finding.hold_limit)
    value, limit, hold = (None if one is None else most - one for one in left)
    return replace(finding, value=value, limit=limit, hold_limit=hold, sense="at most")


def after_as_read(finding: Finding, after: float | None, build: Build) -> float | None:
    """The value that a way out comes to, as `as_read` has the finding's own."""
    return None if after is None else as_read(replace(finding, value=after), build).value


def limit_words(finding: Finding, display: Display, *, bare: bool = False) -> str:
    """Line up to which a finding is clear, e.g. at most 300 rad/s² or at least 3/4 in; nothing where it has none.

    `bare`, beside a value of the same unit, leaves the unit out, but for degrees and fractions of an inch.
    """
    if finding.limit is None:
        return ""
    return f"{finding.sense} {_line(finding.limit, finding, display, bare=bare)}"


def hold_words(finding: Finding, display: Display, *, bare: bool = False) -> str:
    """Line beyond which a finding holds the job up, e.g. hold beyond 400 rad/s²; nothing where it has no other one."""
    if finding.hold_limit is None or finding.hold_limit == finding.limit:
        return ""
    words = _line(finding.hold_limit, finding, display, bare=bare)
    return f"hold {'beyond' if finding.sense == 'at most' else 'below'} {words}"


def _line(limit: float, finding: Finding, display: Display, *, bare: bool) -> str:
    """Limit in the person's own unit: an inch's fraction where it is just one, as the tape has it."""
    places = telling_places(finding, display)
    if finding.unit == "mm" and places is None and limit and display.length == "inch":
        fraction = show_tape(limit, display)
        if "/" in fraction and not fraction.startswith("≈"):
            return fraction
    words = amount(limit, finding.unit, display, places)
    return words.rsplit(" ", 1)[0] if bare and not words.endswith("°") else words
