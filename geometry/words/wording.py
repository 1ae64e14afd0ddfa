"""Numbers as the findings' sentences say them: the person's own unit first, the other one behind it.

Sentences are part of the answer, so they are made here; tables and callouts are worded by the views.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from math import isclose

from geometry.document.vehicle import Display

MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound, 1959)."""
KG_PER_POUND = 0.45359237
"""Exact by definition (international yard and pound, 1959)."""
NM_PER_POUND_FOOT = 1.3558179483314004
"""Exact: 0.3048 m × 0.45359237 kg × 9.80665 m/s²."""
NEWTON_PER_POUND = 4.4482216152605
"""Exact: 0.45359237 kg × 9.80665 m/s²."""
MPA_PER_PSI = 4.4482216152605 / 25.4**2
"""A pound-force, exact, over a square inch."""
MINUS = "−"
_OFF_THE_HALF = 1.0 + 1e-12
_ON_THE_TAPE_MM = 0.05
"""Half of the last place of a length in millimetres: what lies nearer to a sixteenth is said to be it."""


def capital(text: str) -> str:
    """Begin with a capital letter, and leave the rest as it is.

    >>> capital("pinion slope, by the U-bolt")
    'Pinion slope, by the U-bolt'
    """
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """Begin as within a sentence; a word that has its capital everywhere keeps it.

    >>> small("Pinion slope"), small("A wheel"), small("U-bolt's length"), small("PTO shaft")
    ('pinion slope', 'a wheel', "U-bolt's length", 'PTO shaft')
    """
    return text if text[1:2].isupper() or text[1:2] == "-" else text[:1].lower() + text[1:]


def number(value: float, decimals: int = 0) -> str:
    """Write a number with grouped thousands and a true minus sign; a rounded nought carries no sign.

    A half goes away from nought, as a person rounds it: 8.25 reads 8.3 though its neighbour in binary is below.
    """
    text = f"{value * _OFF_THE_HALF:,.{decimals}f}"
    if text.startswith("-"):
        text = text[1:] if not text.strip("-0.,") else MINUS + text[1:]
    return text


def rounded(value: float, decimals: int) -> float:
    """Round as `number` writes, a half away from nought.

    >>> rounded(2.25, 1), rounded(-4.05, 1), rounded(-0.01, 1)
    (2.3, -4.1, 0.0)
    """
    return float(f"{value * _OFF_THE_HALF:.{decimals}f}") + 0.0


def degrees(value: float, decimals: int = 1) -> str:
    """Write an angle, e.g. 4.2°."""
    return f"{number(value, decimals)}°"


def half_degrees(value: float) -> str:
    """Write a wedge, which is sold in half degrees: 2° or 2.5°."""
    return degrees(value, 0 if float(value).is_integer() else 1)


def sixteenths(value_mm: float) -> str:
    """Write a length to the nearest sixteenth of an inch, e.g. 1 5/16 in."""
    parts = int(abs(value_mm) / MM_PER_INCH * 16 * _OFF_THE_HALF + 0.5)  # a half goes away from nought
    whole, rest = divmod(parts, 16)
    text = f"{whole} {Fraction(rest, 16)}" if whole and rest else str(Fraction(rest, 16) if rest else whole)
    return f"{MINUS if value_mm < 0 and parts else ''}{text} in"


def inches(value_mm: float, display: Display, finer: int = 0) -> str:
    """Write a length in inches, as decimals or as the display asks; what is told apart more finely, as decimals.

    As sixteenths, "≈" stands before what lies off them by more than 0.05 mm, and what then is less than an inch stays
    in decimals, as a sixteenth is too coarse for it.

    >>> inches(88.9, Display(inches="sixteenths")), inches(1290.0, Display(inches="sixteenths")), inches(88.9, Display())
    ('3 1/2 in', '≈ 50 13/16 in', '3.50 in')
    """
    if display.inches == "sixteenths" and not finer:
        off_mm = abs(value_mm) - int(abs(value_mm) / MM_PER_INCH * 16 * _OFF_THE_HALF + 0.5) * MM_PER_INCH / 16
        if abs(off_mm) <= _ON_THE_TAPE_MM:
            return sixteenths(value_mm)
        if abs(value_mm) >= MM_PER_INCH:
            return f"≈ {sixteenths(value_mm)}"
    return f"{number(value_mm / MM_PER_INCH, 2 + finer)} in"


def length(value_mm: float, display: Display, decimals: int = 0) -> str:
    """Write a length in the person's unit with the other behind it: 2.09 in (53 mm) or 53 mm (2.09 in)."""
    metric, inch = f"{number(value_mm, decimals)} mm", inches(value_mm, display)
    return f"{inch} ({metric})" if display.length == "inch" else f"{metric} ({inch})"


def shim(value_mm: float, display: Display) -> str:
    """Write a shim as it is cut: sixteenths of an inch, or whole millimetres, the other unit behind it."""
    if display.length == "inch":
        return f"{sixteenths(value_mm)} ({number(value_mm, 1)} mm)"
    return f"{number(value_mm)} mm ({inches(value_mm, display)})"


def mount_words(shim_mm: float, size: str, *, done: bool = False) -> str:
    """Say what is to be done at the rear mount for a shim in all of this thickness, or what is `done` there.

    Nobody fits a shim of less than nothing: its mount is lowered. `size` is the thickness in words, without a sign.

    >>> mount_words(6.0, "6 mm"), mount_words(-6.0, "6 mm")
    ('put 6 mm of shim under the rear mount', 'lower the rear mount by 6 mm')
    >>> mount_words(6.0, "6 mm", done=True), mount_words(-6.0, "6 mm", done=True)
    ('6 mm of shim under the rear mount', 'rear mount lowered by 6 mm')
    >>> mount_words(0.0, "0 mm"), mount_words(0.0, "0 mm", done=True)
    ('take the shims out from under the rear mount', 'no shim under the rear mount')
    """
    if shim_mm == 0.0:
        return f"{'no shim' if done else 'take the shims out from'} under the rear mount"
    if shim_mm < 0.0:
        return f"rear mount lowered by {size}" if done else f"lower the rear mount by {size}"
    return f"{'' if done else 'put '}{size} of shim under the rear mount"


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


_SMALL = 10.0
"""Below this a length in millimetres or a torque is worded in tenths."""
_MOST_DECIMALS = 6
_WHOLE = {"h": 0, "rad/s²": 0, "rpm": 0, "apart": 0, "%": 1}
"""Units that nobody converts, and how many decimals they have."""
_APART = {"deg": 0.2, "": 0.02, "mm": 2.0, "N·m": 2.0, "MPa": 2.0, "h": 20.0, "rad/s²": 2.0, "rpm": 2.0, "apart": 0.0,
          "%": 0.2}  # fmt: skip
"""What lies farther apart than this, in its unit, never reads the same."""


def worded(value: float, unit: str, display: Display, finer: int = 0) -> str:
    """Write a value in its unit as everything does that speaks of it; a finding's with `finer` decimals more than usual.

    >>> worded(4.25, "deg", Display()), worded(349.4, "rad/s²", Display()), worded(53.1, "mm", Display())
    ('4.3°', '349 rad/s²', '2.09 in (53 mm)')
    >>> worded(25_000.0, "N", Display())
    '5,620 lbf (25.0 kN)'

    Raises
    ------
    KeyError
        When the unit is none that a finding has.
    """
    if unit in {"deg", ""}:
        return degrees(value, 1 + finer) if unit else number(value, 2 + finer)
    if unit == "mm":
        metric = f"{number(value, (1 if abs(value) < _SMALL else 0) + finer)} mm"
        inch = inches(value, display, finer)
        return f"{inch} ({metric})" if display.length == "inch" else f"{metric} ({inch})"
    if unit == "kg":
        metric, pounds = f"{number(value)} kg", f"{number(value / KG_PER_POUND)} lb"
        return f"{pounds} ({metric})" if display.length == "inch" else f"{metric} ({pounds})"
    if unit == "N":
        metric, pounds = f"{number(value / 1e3, 1)} kN", f"{number(value / NEWTON_PER_POUND)} lbf"
        return f"{pounds} ({metric})" if display.length == "inch" else f"{metric} ({pounds})"
    if unit in {"N·m", "MPa"}:
        torque_ = unit == "N·m"
        other = value / (NM_PER_POUND_FOOT if torque_ else MPA_PER_PSI)
        tenths, tenths_of_other = (1 if torque_ and abs(one) < _SMALL else 0 for one in (value, other))
        metric = f"{number(value, tenths + finer)} {unit}"
        imperial = f"{number(other, tenths_of_other + finer)} {'lb·ft' if torque_ else 'psi'}"
        first = display.torque == "pound_foot" if torque_ else display.length == "inch"
        return f"{imperial} ({metric})" if first else f"{metric} ({imperial})"
    return f"{number(value, finer + _WHOLE[unit])} {unit}"


def finer_apart(value: float, lines: Iterable[float], unit: str, display: Display, least: int = 0) -> int:
    """How many decimals more than usual tell a value and each of its lines apart; a line that it is on is left out.

    >>> finer_apart(3.04, [1.0, 3.0], "deg", Display()), finer_apart(4.2, [1.0, 3.0], "deg", Display())
    (1, 0)
    """
    near = _APART[unit]
    others = [
        line for line in lines if abs(value - line) <= near and not isclose(value, line, rel_tol=1e-9, abs_tol=1e-9)
    ]
    if not others:
        return least

    def halves(one: float, finer: int) -> list[str]:
        return worded(one, unit, display, finer).removesuffix(")").split(" (")

    for finer in range(least, _MOST_DECIMALS):
        own = halves(value, finer)
        if all(one != two for line in others for one, two in zip(own, halves(line, finer), strict=True)):
            return finer
    return _MOST_DECIMALS


@lru_cache(maxsize=512)
def shorn(text: str) -> str:
    """Leave away the noughts at a line's end: 3.00° is 3°.

    >>> shorn("1.00 in (25.40 mm)")
    '1 in (25.4 mm)'
    """
    return re.sub(r"(\.\d*?)0+(?!\d)", lambda found: found[1].rstrip("."), text)
