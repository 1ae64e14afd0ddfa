"""Value and limit of a finding in words."""

from __future__ import annotations

from typing import Final

from app.sheet.flow import NO_BREAK
from app.units import Kind, as_kind, both, show
from geometry.document.vehicle import Display

_TWO_UNITS: Final = ("mm", "N·m", "N·m/deg")


def amount_words(
    value: float | None, limit: float | None, unit: str, display: Display, *, own_unit: bool = False
) -> str:
    """Value and limit, e.g. 696 rad/s², limit 400; both units where it is a length or a torque, or the own one alone.

    Decimals are added until a value over its limit does not look equal to it.
    """
    if value is None:
        return ""
    plain = _own_amount if own_unit else amount
    told = plain(value, unit, display)
    if limit is None:
        return told
    line = plain(limit, unit, display)
    for places in (1, 2, 3):
        if told != line or value == limit:
            break
        told, line = amount(value, unit, display, places), amount(limit, unit, display, places)
    value_sign, limit_sign = (words.rpartition(" ")[2] for words in (told, line))
    if "(" not in line and value_sign == limit_sign != line:
        line = line.removesuffix(f" {limit_sign}")
    told, line = (words.replace(" ", NO_BREAK).replace(f"{NO_BREAK}(", " (") for words in (told, line))
    return f"{told}, limit{NO_BREAK}{line}"


def amount(value: float, unit: str, display: Display, places: int | None = None) -> str:
    """One value in words; in both units where it is a length or a torque and no decimals are asked for."""
    kind = _kind(unit)
    if kind in _TWO_UNITS and places is None:
        return both(value, kind, display)
    return _in_unit(value, unit, display, places)


def _own_amount(value: float, unit: str, display: Display) -> str:
    return _in_unit(value, unit, display, None)


def _in_unit(value: float, unit: str, display: Display, places: int | None) -> str:
    kind = _kind(unit)
    if kind is None:
        shown = f"{value:,.{places if places is not None else 0 if abs(value) >= 100.0 else 2}f}".replace("-", "−")
        return f"{shown} {unit}"
    return show(value, kind, display, places=places)


def _kind(unit: str) -> Kind | None:
    try:
        return as_kind(unit or "ratio")
    except ValueError:
        return None
