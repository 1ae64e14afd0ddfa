"""Units of the workshop: the one place that converts a quantity and words it for a person.

The build document is SI-mm throughout; only what a person reads or types is in other units. A *kind* is the unit string
under which the document stores a quantity ("mm", "deg", "N·m" …), and a `Unit` is one way of writing that kind. Factors
are exact fractions, so a conversion is rounded once, at its end. Reading what a person types is in `app.reading`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_UP, Context, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal, NamedTuple, Protocol, get_args

Kind = Literal[
    "mm", "deg", "kg", "N·m", "km/h", "rpm", "Hz", "N/mm", "MPa", "h", "ratio", "count", "rad/s²", "N·m/deg", "1/km",
    "km",
]  # fmt: skip
KINDS: Final[tuple[Kind, ...]] = get_args(Kind)
Length = Literal["inch", "millimetre"]
Torque = Literal["pound_foot", "newton_metre"]
Inches = Literal["sixteenths"]

MINUS: Final = "\u2212"
_TAPE_PARTS: Final = 16
_FINEST_PARTS: Final = 64  # the finest marks on a steel rule
_LAST_BITS: Final = 10**12
_TAPE_EXACT_MM: Final = Fraction("0.05")  # half of the last place of a length shown in millimetres


class DisplayChoice(Protocol):
    """What the functions here need to know of the person's choice; the document's own `display` section fits."""

    @property
    def length(self) -> Length:
        """Either "inch" or "millimetre"; weights, speeds, spring rates and stresses follow it."""

    @property
    def torque(self) -> Torque:
        """Either "pound_foot" or "newton_metre"."""

    @property
    def inches(self) -> Inches | None:
        """Either "sixteenths", as a tape reads, or None for decimals."""


@dataclass(frozen=True, slots=True)
class Display:
    """The units that a person reads and types."""

    length: Length
    torque: Torque
    inches: Inches | None = None


INCHES: Final = Display("inch", "pound_foot")
SIXTEENTHS: Final = Display("inch", "pound_foot", "sixteenths")
MILLIMETRES: Final = Display("millimetre", "newton_metre")


class Unit(NamedTuple):
    """One way of writing a kind: its sign, its size in the stored unit, and how many digits serve a person.

    `factor` is how many stored units one of this unit is, exactly. A value is shown with `places` decimals, and as a
    whole number from `whole_from` (in this unit) upwards. `basis` says where the factor comes from.
    """

    symbol: str
    kind: Kind
    factor: Fraction
    basis: str
    places: int = 0
    whole_from: int | None = None


_SI = "the stored unit, or exact by SI prefix"
_YARD = "exact: yard and pound agreement of 1959; NIST SP 811 (2008), appendix B.8 (from memory)"
_FORCE = "exact: pound of 1959 times standard gravity 9.80665 m/s², CGPM 1901; NIST SP 811 (2008), B.8 (from memory)"
_ANGLE = "exact: half a turn is 180° is π rad; SI Brochure, 9th edition, table 8 (from memory)"
_PLAIN = "exact: by its meaning"

_INCH_MM = Fraction("25.4")
_FOOT_MM = 12 * _INCH_MM
_MILE_KM = 5280 * _FOOT_MM / 10**6
_POUND_KG = Fraction("0.45359237")
_POUND_FORCE_N = _POUND_KG * Fraction("9.80665")
_POUND_FOOT_NM = _POUND_FORCE_N * _FOOT_MM / 1000
_PSI_MPA = _POUND_FORCE_N / _INCH_MM**2
_PI = Fraction("3.14159265358979323846264338327950288419716939937511")  # 50 decimals, far beyond a double

UNITS: Final[tuple[Unit, ...]] = (
    Unit("mm", "mm", Fraction(1), _SI, places=1, whole_from=1000),
    Unit("cm", "mm", Fraction(10), _SI, places=1),
    Unit("m", "mm", Fraction(1000), _SI, places=3),
    Unit("in", "mm", _INCH_MM, _YARD, places=2),
    Unit("ft", "mm", _FOOT_MM, _YARD, places=2),
    Unit("°", "deg", Fraction(1), _SI, places=1),
    Unit("′", "deg", Fraction(1, 60), _PLAIN),
    Unit("″", "deg", Fraction(1, 3600), _PLAIN),
    Unit("rad", "deg", 180 / _PI, _ANGLE, places=3),
    Unit("kg", "kg", Fraction(1), _SI, places=1, whole_from=100),
    Unit("lb", "kg", _POUND_KG, _YARD, places=1, whole_from=100),
    Unit("N·m", "N·m", Fraction(1), _SI, places=1, whole_from=10),
    Unit("lb·ft", "N·m", _POUND_FOOT_NM, _FORCE, places=1, whole_from=10),
    Unit("km/h", "km/h", Fraction(1), _SI),
    Unit("mph", "km/h", _MILE_KM, _YARD),
    Unit("rpm", "rpm", Fraction(1), _SI),
    Unit("Hz", "Hz", Fraction(1), _SI, places=1, whole_from=100),
    Unit("N/mm", "N/mm", Fraction(1), _SI, places=1, whole_from=100),
    Unit("lb/in", "N/mm", _POUND_FORCE_N / _INCH_MM, _FORCE, places=1, whole_from=100),
    Unit("MPa", "MPa", Fraction(1), _SI, places=1, whole_from=100),
    Unit("psi", "MPa", _PSI_MPA, _FORCE),
    Unit("ksi", "MPa", 1000 * _PSI_MPA, _FORCE, places=1),
    Unit("h", "h", Fraction(1), _SI),
    Unit("min", "h", Fraction(1, 60), _PLAIN),
    Unit("", "ratio", Fraction(1), _PLAIN, places=2),
    Unit("%", "ratio", Fraction(1, 100), _PLAIN),
    Unit("", "count", Fraction(1), _PLAIN),
    Unit("rad/s²", "rad/s²", Fraction(1), _SI),
    Unit("N·m/°", "N·m/deg", Fraction(1), _SI, places=1, whole_from=100),
    Unit("/km", "1/km", Fraction(1), _SI, places=1, whole_from=100),
    Unit("/mile", "1/km", 1 / _MILE_KM, _YARD, places=1, whole_from=100),
    Unit("km", "km", Fraction(1), _SI),
    Unit("mi", "km", _MILE_KM, _YARD),
    Unit("lb·ft/°", "N·m/deg", _POUND_FOOT_NM, _FORCE, places=1, whole_from=100),
)
_BY_SIGN: Final = {(unit.kind, unit.symbol): unit for unit in UNITS}

# The stored unit of each kind and, where a workshop in inches uses another, that one.
_PAIRS: Final[dict[Kind, tuple[str, ...]]] = {
    "mm": ("mm", "in"),
    "deg": ("°",),
    "kg": ("kg", "lb"),
    "N·m": ("N·m", "lb·ft"),
    "km/h": ("km/h", "mph"),
    "rpm": ("rpm",),
    "Hz": ("Hz",),
    "N/mm": ("N/mm", "lb/in"),
    "MPa": ("MPa", "psi"),
    "h": ("h",),
    "ratio": ("",),
    "count": ("",),
    "rad/s²": ("rad/s²",),
    "N·m/deg": ("N·m/°", "lb·ft/°"),
    "1/km": ("/km", "/mile"),
    "km": ("km", "mi"),
}


def as_kind(unit: str) -> Kind:
    """Take a field's unit string as a kind.

    Raises
    ------
    ValueError
        If no kind has that name.
    """
    for kind in KINDS:
        if kind == unit:
            return kind
    raise ValueError(f"no quantity is stored in {unit!r}; use one of {', '.join(KINDS)}")


def unit_named(kind: Kind, symbol: str) -> Unit:
    """Unit of that kind with that sign; raises KeyError where the table has none."""
    return _BY_SIGN[kind, symbol]


def shown_unit(kind: Kind, display: DisplayChoice) -> Unit:
    """Unit in which a kind is shown, and in which a bare number is read.

    Torque and wind-up stiffness follow `display.torque`, everything else `display.length`.

    >>> shown_unit("N·m", Display("inch", "newton_metre")).symbol
    'N·m'
    """
    return _shown_and_other(kind, display)[0]


def length_words(display: DisplayChoice) -> str:
    """What the choice of lengths is called.

    >>> length_words(INCHES), length_words(SIXTEENTHS), length_words(MILLIMETRES)
    ('inches', 'inches in sixteenths', 'millimetres')
    """
    if display.length == "millimetre":
        return "millimetres"
    return "inches in sixteenths" if display.inches == "sixteenths" else "inches"


def in_decimals(display: DisplayChoice) -> Display:
    """The same units with inches as decimals, for what a tape does not read: limits, give or take, close calls."""
    return Display(display.length, display.torque)


def scale(kind: Kind, display: DisplayChoice) -> float:
    """Shown units in one stored unit: multiply stored values, or an array of them, to plot in the person's units.

    >>> round(1295.4 * scale("mm", INCHES), 9)
    51.0
    """
    return float(1 / shown_unit(kind, display).factor)


def stored(amount: Fraction, unit: Unit) -> float:
    """Exact amount of a unit as the stored value, rounded once to the nearest double.

    Raises
    ------
    OverflowError
        If no double is that large.

    >>> stored(Fraction(7, 2), unit_named("mm", "in"))
    88.9
    """
    return float(amount * unit.factor)


_PLANNED_PLACES: Final = {"inch": 4, "millimetre": 3}
"""A sixteenth of an inch has four decimals of an inch; more than three of a millimetre nobody sets."""


def show(
    value: float,
    kind: Kind,
    display: DisplayChoice,
    *,
    uncertainty: float | None = None,
    signed: bool = False,
    places: int | None = None,
) -> str:
    """Word a stored value for a person, with its unit and digits that mean something.

    `uncertainty` is in the stored unit too and adds digits where its first one would not show. `signed` writes a plus
    before values above zero. `places` asks for a number of decimals. A half is rounded away from zero.

    Where the display asks for inches in sixteenths, and neither decimals nor an uncertainty are asked for, a length
    reads as `show_tape` has it; what lies off the sixteenths and is less than an inch stays in decimals.

    Raises
    ------
    ValueError
        If the value or its uncertainty is not finite, or the uncertainty is negative.

    >>> show(1295.4, "mm", INCHES), show(1524, "mm", MILLIMETRES), show(4.21, "deg", INCHES, uncertainty=0.1)
    ('51.00 in', '1,524 mm', '4.2 ± 0.1°')
    >>> show(88.9, "mm", SIXTEENTHS), show(1290.0, "mm", SIXTEENTHS), show(1.65, "mm", SIXTEENTHS)
    ('3 1/2 in', '≈ 50 13/16 in', '0.06 in')
    """
    unit = shown_unit(kind, display)
    if places is None and uncertainty is None:
        return _said(value, unit, display, signed=signed)
    return _worded(value, unit, uncertainty=uncertainty, signed=signed, places=places)


def both(value: float, kind: Kind, display: DisplayChoice = INCHES, *, signed: bool = False) -> str:
    """Word a stored value in both its units for the paper sheet, the display's own first; once where it has but one.

    >>> both(1295.4, "mm"), both(4.2, "deg"), both(440, "N·m", MILLIMETRES)
    ('51.00 in (1,295 mm)', '4.2°', '440 N·m (325 lb·ft)')
    """
    first, *other = [_said(value, unit, display, signed=signed) for unit in _shown_and_other(kind, display)]
    return f"{first} ({other[0]})" if other else first


def show_planned(value_mm: float, display: DisplayChoice) -> str:
    """Word a length that is planned as it was set, with all its decimals where they are few: 3/8 in is not 0.38 in.

    >>> show_planned(9.525, INCHES), show_planned(76.2, INCHES), show_planned(14.2875, MILLIMETRES)
    ('0.375 in', '3.00 in', '14.3 mm')
    """
    unit = shown_unit("mm", display)
    usual = show(value_mm, "mm", display)
    if usual == show_tape(value_mm, display):  # the tape's own fraction
        return usual
    set_to = len(edit_text(value_mm, "mm", display).partition(".")[2])
    told = len(usual.removesuffix(unit.symbol).strip().partition(".")[2])
    most = _PLANNED_PLACES[display.length]
    return show(value_mm, "mm", display, places=set_to) if told < set_to <= most else usual


def show_tape(value_mm: float, display: DisplayChoice) -> str:
    """Word a length as a tape reads: to the nearest 1/16 in, or to the nearest millimetre.

    "≈" stands before a reading that leaves out more than 0.05 mm, the least that a length shown in millimetres tells
    apart; below that the reading is the length, and a stray digit far behind the point earns no mark. A half is rounded
    away from zero.

    Raises
    ------
    ValueError
        If the value is not finite.

    >>> show_tape(88.9, INCHES), show_tape(1296, INCHES), show_tape(-1296, MILLIMETRES)
    ('3 1/2 in', '≈ 51 in', '−1,296 mm')
    """
    return _tape_words(value_mm, shown_unit("mm", display))


def fraction_text(value_mm: float, display: DisplayChoice) -> str | None:
    """Bare whole and fraction of an inch that a length is exactly, to 64ths, where the display asks for fractions.

    It is read back as exactly the stored value; None where that is no such fraction. A minus is the keyboard's.

    >>> fraction_text(314.325, SIXTEENTHS), fraction_text(-1.5875, SIXTEENTHS), fraction_text(314.325, INCHES)
    ('12 3/8', '-1/16', None)
    """
    if display.inches is None or display.length != "inch":
        return None
    amount = Fraction(edit_text(value_mm, "mm", display))
    if (amount * _FINEST_PARTS).denominator != 1:
        return None
    return f"{'-' if amount < 0 else ''}{_mixed(abs(amount))}".replace(",", "")


def edit_text(value: float, kind: Kind, display: DisplayChoice) -> str:
    """Shortest bare decimal in the shown unit that is read back as exactly the stored value.

    Opening and leaving a field so never edits it. A negative one has the keyboard's hyphen, to be copied anywhere.

    Raises
    ------
    ValueError
        If the value is not finite.

    >>> edit_text(88.9, "mm", INCHES), edit_text(-2.0, "deg", INCHES)
    ('3.5', '-2')
    """
    _exact(value)
    unit = shown_unit(kind, display)
    amount = Fraction(value) / unit.factor
    # A text of 15 digits or fewer that is read as this value is what rounding to 15 gives, as neighbouring doubles are
    # closer than such texts. With 16 the nearest text may miss where the one above it does not: at a power of two, the
    # doubles below are twice as close as those above. With 17 the texts are closer than the doubles, so one fits.
    for digits, rounding in ((15, ROUND_HALF_EVEN), (16, ROUND_HALF_EVEN), (16, ROUND_UP)):
        text = _decimal_text(amount, digits, rounding)
        if _reads_as(text, unit, value):
            return text
    return _decimal_text(amount, 17, ROUND_HALF_EVEN)


def _said(value: float, unit: Unit, display: DisplayChoice, *, signed: bool) -> str:
    """Value in a given unit with its usual digits; inches as the display asks."""
    if unit.symbol == "in" and display.inches == "sixteenths":
        text = _tape_words(value, unit)
        if not text.startswith("≈") or abs(value) >= unit.factor:
            return f"+{text}" if signed and value > 0 and not text.startswith(("≈", "0 ")) else text
    return _worded(value, unit, signed=signed)


def _tape_words(value_mm: float, unit: Unit) -> str:
    """See `show_tape`."""
    parts = _TAPE_PARTS if unit.symbol == "in" else 1
    exact_mm = _exact(value_mm)
    nearest = Fraction(_rounded(exact_mm / unit.factor * parts), parts)
    mark = "≈ " if abs(nearest * unit.factor - exact_mm) > _TAPE_EXACT_MM else ""
    return f"{mark}{MINUS if nearest < 0 else ''}{_mixed(abs(nearest))} {unit.symbol}"


def _mixed(amount: Fraction) -> str:
    """Whole number with commas between thousands, and fraction."""
    whole, rest = divmod(amount, 1)
    return " ".join(text for text in (f"{whole:,}" if whole or not rest else "", str(rest) if rest else "") if text)


def _shown_and_other(kind: Kind, display: DisplayChoice) -> list[Unit]:
    """Unit of this display, then that of the other display where there is another."""
    metric = display.torque == "newton_metre" if kind in {"N·m", "N·m/deg"} else display.length == "millimetre"
    signs = _PAIRS[kind]
    return [unit_named(kind, sign) for sign in (signs if metric else reversed(signs))]


def _decimal(value: float) -> Decimal:
    """Value as the decimal that a person would know it by: 88.9 is 889/10 and not the double beside it."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that can be shown; leave the value out while it is unknown")
    return Decimal(repr(float(value)))


def _exact(value: float) -> Fraction:
    """`_decimal` as a fraction."""
    return Fraction(_decimal(value))


def _rounded(amount: Fraction) -> int:
    """Nearest whole number, a half away from zero, as people round."""
    nearest = _rounded_size((amount.numerator, amount.denominator), 0)
    return -nearest if amount < 0 else nearest


def _reads_as(text: str, unit: Unit, value: float) -> bool:
    """Whether a decimal text of a unit is stored as just that value; rounding the largest double up is not."""
    try:
        return stored(Fraction(text), unit) == value
    except OverflowError:
        return False


def _decimal_text(amount: Fraction, digits: int, rounding: str) -> str:
    """Plain decimal of that many significant digits without closing zeros, never with an exponent."""
    quotient = Context(prec=digits, rounding=rounding).divide(Decimal(amount.numerator), Decimal(amount.denominator))
    return f"{quotient.normalize():f}" if quotient else "0"


def _in_unit(value: float, unit: Unit) -> tuple[int, int]:
    """Exact amount of a unit as two whole numbers, the second above zero: a fraction that is quicker to round."""
    above, below = _decimal(value).as_integer_ratio()
    return above * unit.factor.denominator, below * unit.factor.numerator


def _rounded_size(amount: tuple[int, int], places: int) -> int:
    """Size of an amount in units of its last decimal, a half rounded up, and what is a half but for its last bits.

    A value is worked out in more ways than one, and its last bits differ; the words of findings round alike.
    """
    above, below = amount
    size: int = (2 * abs(above) * 10**places * (_LAST_BITS + 1) + below * _LAST_BITS) // (2 * below * _LAST_BITS)
    return size


def _digits(size: int, places: int) -> str:
    """What `_rounded_size` gives, with that many decimals and commas between thousands."""
    whole, part = divmod(size, 10**places)
    return f"{whole:,}.{part:0{places}}" if places else f"{whole:,}"


def _worded(
    value: float, unit: Unit, *, uncertainty: float | None = None, signed: bool = False, places: int | None = None
) -> str:
    """Value in a given unit; see `show`."""
    amount = _in_unit(value, unit)
    if places is None:
        size = _rounded_size(amount, unit.places)
        places = 0 if unit.whole_from is not None and size >= unit.whole_from * 10**unit.places else unit.places
    margin = ""
    if uncertainty is not None:
        spread = _in_unit(uncertainty, unit)
        if spread[0] < 0:
            raise ValueError(f"an uncertainty of {uncertainty} is below zero; give its size")
        while spread[0] and not _rounded_size(spread, places):
            places += 1
        margin = f" ± {_digits(_rounded_size(spread, places), places)}"
    seen = _rounded_size(amount, places)
    sign = "" if not seen else MINUS if amount[0] < 0 else "+" if signed else ""
    gap = "" if unit.symbol in {"", "°"} else " "
    return f"{sign}{_digits(seen, places)}{margin}{gap}{unit.symbol}"


@lru_cache(maxsize=512)
def degrees(value_deg: float) -> str:
    """Word an angle, e.g. 4.2°: the one way in which the drawing, the strip, the list and the sheet do.

    >>> degrees(4.25), degrees(-4.249999999999998), degrees(19.65), degrees(-0.01)
    ('4.3°', '−4.3°', '19.7°', '0.0°')
    """
    return _worded(value_deg, _DEGREE)


_DEGREE: Final = unit_named("deg", "°")
LEVEL_DEG: Final = 0.05 / (1.0 + 1.0 / _LAST_BITS)
"""What rounds to nought at one decimal has no way to lean."""


def leaning(slope_deg: float, *, down: str, up: str) -> str:
    """Size of a slope and the way it leans: `down` where the rear end is lower, `up` where it is higher, or level."""
    if abs(slope_deg) < LEVEL_DEG:
        return "0.0° level"
    return f"{degrees(abs(slope_deg))} {down if slope_deg > 0.0 else up}"
