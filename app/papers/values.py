"""Numbers of a build as papers print them: in the person's units, a side or a direction in words, never a sign."""

from __future__ import annotations

from typing import Final

from app.units import Kind, in_decimals, show, shown_unit
from geometry.document.vehicle import Display

_KINDS: Final[tuple[tuple[str, Kind], ...]] = (
    ("_n_per_mm", "N/mm"), ("_mm", "mm"), ("_deg", "deg"), ("_nm", "N·m"), ("_kmh", "km/h"), ("_rpm", "rpm"),
    ("_per_km", "1/km"), ("_kg", "kg"),
)  # fmt: skip
"""Endings of the entries' names and what they are in; a name without one is a ratio."""
_CALIPERED: Final = ("wall_mm", "spline_diameter_mm", "outer_diameter_mm")
"""Endings of what is read to a thousandth of an inch."""
_COUNTED: Final = ("_teeth", "bolts")
"""Endings of what is counted, and has no unit."""
OTHER_WAY: Final = {"back": "ahead", "right": "left", "up": "below"}
"""Of an axis, what a number below nought is."""


def kind_at(path: str) -> Kind:
    """In what an entry is measured.

    >>> kind_at("suspension.rate_n_per_mm"), kind_at("shaft.bearing_mm"), kind_at("axle.ratio")
    ('N/mm', 'mm', 'ratio')
    """
    return next((kind for ending, kind in _KINDS if path.endswith(ending)), "ratio")


def unit_sign(path: str, display: Display) -> str:
    """Sign of the unit in which an entry is written."""
    return shown_unit(kind_at(path), display).symbol


def as_written(
    value: float | tuple[float, ...], path: str, display: Display, words: str, *, unsigned: bool, unit: bool
) -> tuple[str, str]:
    """A number in bold, and the words of its side; `unsigned` where a tick says its direction."""
    if isinstance(value, tuple):
        return " · ".join(show(one, "ratio", display) for one in value), words
    kind = kind_at(path)
    if value < 0.0 and words in OTHER_WAY:
        value, words = -value, OTHER_WAY[words]
    fine = (
        3
        if path.endswith(("wall_mm", "spline_diameter_mm", "outer_diameter_mm")) and display.length == "inch"
        else None
    )
    if path.endswith(_COUNTED):
        return f"{value:g}", words
    said = show(abs(value) if unsigned else value, kind, display if unit else in_decimals(display), places=fine)
    if not unit:
        said = said.removesuffix(shown_unit(kind, display).symbol).strip()
    return said, words
