"""Numbers as the findings' sentences say them: the person's own unit first, the other one behind it.

Sentences are part of the answer, so they are made here; tables and callouts are worded by the views.
"""

from fractions import Fraction

from geometry.document.vehicle import Display

MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound, 1959)."""
NM_PER_POUND_FOOT = 1.3558179483314004
"""Exact: 0.3048 m × 0.45359237 kg × 9.80665 m/s²."""
MPA_PER_PSI = 4.4482216152605 / 25.4**2
"""A pound-force, exact, over a square inch."""
MINUS = "−"
_OFF_THE_HALF = 1.0 + 1e-12


def number(value: float, decimals: int = 0) -> str:
    """Write a number with grouped thousands and a true minus sign; a rounded nought carries no sign.

    A half goes away from nought, as a person rounds it: 8.25 reads 8.3 though its neighbour in binary is below.
    """
    text = f"{value * _OFF_THE_HALF:,.{decimals}f}"
    if text.startswith("-"):
        text = text[1:] if not text.strip("-0.,") else MINUS + text[1:]
    return text


def degrees(value: float, decimals: int = 1) -> str:
    """Write an angle, e.g. 4.2°."""
    return f"{number(value, decimals)}°"


def half_degrees(value: float) -> str:
    """Write a wedge, which is sold in half degrees: 2° or 2.5°."""
    return degrees(value, 0 if float(value).is_integer() else 1)


def sixteenths(value_mm: float) -> str:
    """Write a length to the nearest sixteenth of an inch, e.g. 1 5/16 in."""
    parts = round(abs(value_mm) / MM_PER_INCH * 16)
    whole, rest = divmod(parts, 16)
    text = f"{whole} {Fraction(rest, 16)}" if whole and rest else str(Fraction(rest, 16) if rest else whole)
    return f"{MINUS if value_mm < 0 and parts else ''}{text} in"


def length(value_mm: float, display: Display, decimals: int = 0) -> str:
    """Write a length in the person's unit with the other behind it: 2.09 in (53 mm) or 53 mm (2.09 in)."""
    metric, inch = f"{number(value_mm, decimals)} mm", f"{number(value_mm / MM_PER_INCH, 2)} in"
    return f"{inch} ({metric})" if display.length == "inch" else f"{metric} ({inch})"


def shim(value_mm: float, display: Display) -> str:
    """Write a shim as it is cut: sixteenths of an inch, or whole millimetres, the other unit behind it."""
    if display.length == "inch":
        return f"{sixteenths(value_mm)} ({number(value_mm, 1)} mm)"
    return f"{number(value_mm)} mm ({number(value_mm / MM_PER_INCH, 2)} in)"


def torque(value_nm: float, display: Display) -> str:
    """Write a torque in the person's unit with the other behind it."""
    metric, imperial = f"{number(value_nm)} N·m", f"{number(value_nm / NM_PER_POUND_FOOT)} lb·ft"
    return f"{imperial} ({metric})" if display.torque == "pound_foot" else f"{metric} ({imperial})"


def stress(value_mpa: float, display: Display) -> str:
    """Write a stress in the unit that goes with the person's lengths, the other one behind it."""
    metric, imperial = f"{number(value_mpa)} MPa", f"{number(value_mpa / MPA_PER_PSI)} psi"
    return f"{imperial} ({metric})" if display.length == "inch" else f"{metric} ({imperial})"


def rpm(value: float) -> str:
    """Write a shaft speed."""
    return f"{number(value)} rpm"


def listed(names: list[str]) -> str:
    """Join names as a sentence does: a, b and c."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
