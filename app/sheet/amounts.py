"""Value and limit of a finding in words, as the sheet has room for them."""

from __future__ import annotations

from typing import Final

from app.amounts import amount as own_amount
from app.amounts import limit_words, telling_places
from app.sheet.flow import NO_BREAK
from app.units import Kind, as_kind, both
from geometry.document.vehicle import Display
from geometry.words.solution import Finding

_TWO_UNITS: Final[frozenset[Kind]] = frozenset({"mm", "N·m", "N·m/deg"})


def value_words(finding: Finding, display: Display) -> str:
    """Value of a finding in the person's own unit; nothing where it has none."""
    if finding.value is None:
        return ""
    return _unbroken(own_amount(finding.value, finding.unit, display, telling_places(finding, display)))


def amount_words(finding: Finding, display: Display) -> str:
    """Value and limit, e.g. 696 rad/s², at most 400."""
    limit = limit_words(finding, display, bare=True)
    told = value_words(finding, display)
    return f"{told}, {_unbroken(limit)}" if told and limit else told


def amount(value: float, unit: str, display: Display, places: int | None = None) -> str:
    """One value in words; in both units where it is a length or a torque and no decimals are asked for."""
    if unit in _TWO_UNITS and places is None:
        return both(value, as_kind(unit), display)
    return own_amount(value, unit, display, places)


def _unbroken(words: str) -> str:
    return words.replace(" ", NO_BREAK)
