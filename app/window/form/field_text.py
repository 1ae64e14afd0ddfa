"""What stands in a field of a form: the value as short as it can be said, without its unit."""

from __future__ import annotations

import math
from typing import Final

from app.units import MINUS, DisplayChoice, Kind, edit_text, fraction_text, in_decimals, scale, show, shown_unit

_EXACT_PLACES: Final = 4  # a sixteenth of an inch has four decimals


def field_text(value: float, kind: Kind, display: DisplayChoice) -> str:
    """Text of a value in a field, without its unit: as exact as it was typed, where that is short.

    >>> from app.units import INCHES
    >>> field_text(88.9, "mm", INCHES), field_text(-1.25, "deg", INCHES), field_text(1290.0, "mm", INCHES)
    ('3.50', '−1.25', '50.79')

    With inches in sixteenths, what is just a fraction reads as one, what was typed in short decimals stays so.

    >>> from app.units import SIXTEENTHS
    >>> field_text(88.9, "mm", SIXTEENTHS), field_text(314.96, "mm", SIXTEENTHS), field_text(1290.0, "mm", SIXTEENTHS)
    ('3 1/2', '12.40', '≈ 50 13/16')
    """
    if kind == "mm" and display.inches:
        fraction = fraction_text(value, display)
        if fraction is not None:
            return fraction.replace("-", MINUS)
        if _exact_places(value, kind, display) <= _EXACT_PLACES:
            return field_text(value, kind, in_decimals(display))
    unit = shown_unit(kind, display)
    return show(value, kind, display, places=_places(value, kind, display)).removesuffix(unit.symbol).strip()


def typing_text(value: float, kind: Kind, display: DisplayChoice) -> str:
    """Text of a value in the field that is being typed in: exact where that is short, else to the digits that matter.

    Leaving it as it stands never edits the value. It can be read back: no commas, the keyboard's own minus.

    >>> from app.units import INCHES
    >>> typing_text(88.9, "mm", INCHES), typing_text(-1.25, "deg", INCHES), typing_text(1290.0, "mm", INCHES)
    ('3.5', '-1.25', '50.79')
    """
    fraction = fraction_text(value, display) if kind == "mm" else None
    if fraction is not None:
        return fraction
    if _exact_places(value, kind, display) <= _EXACT_PLACES:
        return edit_text(value, kind, display)
    return field_text(value, kind, in_decimals(display)).replace(",", "").replace(MINUS, "-")


def _exact_places(value: float, kind: Kind, display: DisplayChoice) -> int:
    """Decimals of the shortest text that is read back as just the value."""
    return len(edit_text(value, kind, display).partition(".")[2])


def _places(value: float, kind: Kind, display: DisplayChoice) -> int | None:
    """Decimals that a field shows, None for the usual ones: all that were typed, and two digits that are not nought."""
    typed = _exact_places(value, kind, display)
    shown = show(value, kind, display).removesuffix(shown_unit(kind, display).symbol).strip()
    if "≈" in shown:  # the nearest sixteenth
        return None
    usual = len(shown.partition(".")[2])
    if typed <= _EXACT_PLACES:
        return typed if typed > usual else None
    amount = abs(value) * scale(kind, display)
    needed = 1 - math.floor(math.log10(amount)) if amount else 0
    return needed if usual < needed <= _EXACT_PLACES else None
