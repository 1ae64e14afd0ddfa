"""Reading what a person types into a field: `3 1/2`, `3-1/2 in`, `4' 3 1/2"`, `88,9 mm`, `3°30'`.

Every text either has one meaning or is refused with one sentence; nothing is guessed. What is refused on purpose:

- `1,524`: a decimal comma and a comma between thousands look alike where one to three digits, not starting with a zero,
  stand before the only comma and exactly three behind it. `88,9`, `0,125`, `1234,567` and `1,524.0` have one meaning.
- `3 - 1/2` and `3−1/2` with a true minus, which may be a subtraction; `3-1/2` is how a tape is written down.
- `4' 3` and `3°30`: behind a first part, each part carries its own sign; and `4' 14"`, `3°75'`, `3 5/2`, which no tape
  or gauge reads.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from app.units import UNITS, DisplayChoice, Kind, Unit, shown_unit, stored

_LONGEST: Final = 400  # characters: longer than any number that a double holds, short enough to read at once


class ReadingError(ValueError):
    """A typed text that was not understood; its str is one sentence for the person, with an example to follow."""


# Further spellings of each unit sign; case, and points, hyphens, dots and spaces between letters, do not matter.
_SPELLINGS: Final[dict[str, str]] = {
    "mm": "millimetre millimetres millimeter millimeters",
    "cm": "centimetre centimetres centimeter centimeters",
    "m": "metre metres meter meters",
    "in": 'inch inches "',
    "ft": "foot feet '",
    "°": "deg degs degree degrees",
    "′": "' min minute minutes",
    "″": '"',
    "rad": "radian radians",
    "kg": "kgs kilogram kilograms kilogramme kilogrammes",
    "lb": "lbs lbm pound pounds",
    "N·m": "newton-metre newton-metres newton-meter newton-meters",
    "lb·ft": "lbs·ft lbf·ft ft·lb ft·lbs ft·lbf pound-foot pound-feet foot-pound foot-pounds",
    "km/h": "kmh kph kmph km/hr km/hour kilometre/hour kilometres/hour kilometer/hour kilometers/hour",
    "mph": "mi/h mile/hour miles/hour",
    "rpm": "r/min rev/min revs/min",
    "Hz": "hertz",
    "N/mm": "newton/millimetre newtons/millimetre newton/millimeter newtons/millimeter",
    "lb/in": "lbs/in lbf/in lb/inch lbs/inch lbf/inch pound/inch pounds/inch",
    "MPa": "N/mm² megapascal megapascals",
    "psi": "lb/in² lbs/in² lbf/in²",
    "h": "hr hrs hour hours",
    "min": "mins minute minutes",
    "": "∶",
    "%": "percent",
    "N·m/°": "N·m/deg N·m/degree",
    "/km": "perkm turns/km revs/km rev/km",
    "/mile": "permile /mi turns/mile revs/mile rev/mile revs/mi rev/mi",
    "km": "kilometre kilometres kilometer kilometers",
    "mi": "mile miles",
    "lb·ft/°": "lb·ft/deg lb·ft/degree lbf·ft/deg ft·lb/deg",
}


@dataclass(frozen=True, slots=True)
class _Wording:
    """How a sentence names a kind, with an example in the stored unit and in inches and pounds."""

    noun: str
    metric: str
    imperial: str


_WORDING: Final[dict[Kind, _Wording]] = {
    "mm": _Wording("a length", "88.9 mm", "3 1/2 in"),
    "deg": _Wording("an angle", "3.5°", "3.5°"),
    "kg": _Wording("a weight", "900 kg", "2000 lb"),
    "N·m": _Wording("a torque", "160 N·m", "120 lb·ft"),
    "km/h": _Wording("a road speed", "90 km/h", "55 mph"),
    "rpm": _Wording("a turning speed", "2500 rpm", "2500 rpm"),
    "Hz": _Wording("a frequency", "80 Hz", "80 Hz"),
    "N/mm": _Wording("a spring rate", "45 N/mm", "250 lb/in"),
    "MPa": _Wording("a stress", "85 MPa", "12000 psi"),
    "h": _Wording("a time", "3000 h", "3000 h"),
    "ratio": _Wording("a ratio", "1.0", "1.0"),
    "count": _Wording("a whole number", "16", "16"),
    "rad/s²": _Wording("an angular acceleration", "300 rad/s²", "300 rad/s²"),
    "N·m/deg": _Wording("a wind-up stiffness", "400 N·m/°", "300 lb·ft/°"),
    "1/km": _Wording("a tyre's turns over a road", "430 /km", "690 /mile"),
    "km": _Wording("a distance driven", "98500 km", "61200 mi"),
}

# Units that may follow one another in one reading, largest first, and how many of each make one of the one before.
_CHAINS: Final[dict[Kind, dict[str, int]]] = {"mm": {"ft": 0, "in": 12}, "deg": {"°": 0, "′": 60, "″": 60}}
_CHAIN_WORDS: Final = {"in": "inches behind its feet", "′": "minutes behind its degrees", "″": "seconds at its end"}

# One sign for each of the signs that look alike on a screen; the true minus stays apart from the hyphen that joins.
_ALIKE: Final = str.maketrans("′’‘″”“º˚\u2044\u2215\u2011–⋅•*×", "'''\"\"\"°°//--····")
_FRACTION_SIGNS: Final = {
    sign: unicodedata.normalize("NFKC", sign).replace("\u2044", "/") for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
}

_PART = re.compile(
    r"""(?: (?: (?P<whole>[0-9]+) (?:\s+|-) )? (?P<over>[0-9]+) \s*/\s* (?P<under>[0-9]+)   # 3 1/2, 3-1/2, 1/16
         |  (?P<decimal>[0-9.,]*[0-9][0-9.,]*) )                                            # 51.0, 88,9, .5
        (?P<unit>[^0-9]*)""",
    re.VERBOSE,
)
_POINT = re.compile(r"[0-9]+\.?|[0-9]*\.[0-9]+")
_COMMA = re.compile(r"[0-9]*,[0-9]+")
_COMMA_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+\.[0-9]+|(?:,[0-9]{3}){2,})")
_POINT_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+")
_EITHER = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def parse(text: str, kind: Kind, display: DisplayChoice) -> float:
    """Stored value (SI-mm) of what a person typed, rounded once from the exact reading.

    A bare number is in the unit that the display shows. Signs for feet and inches are minutes and seconds in an angle.

    Raises
    ------
    ReadingError
        If the text is empty, has a unit of another kind or an unknown one, can be read in two ways, or is no number.

    >>> from app.units import INCHES
    >>> parse("3-1/2 in", "mm", INCHES), parse("3°30'", "deg", INCHES), parse("-2", "mm", INCHES)
    (88.9, 3.5, -50.8)
    """
    return _Reader(text, kind, display).read()


@dataclass(frozen=True, slots=True)
class _Reader:
    """One reading: the text as typed, for the sentence, beside what it should be."""

    text: str
    kind: Kind
    display: DisplayChoice

    def read(self) -> float:
        if not self.text.strip():
            raise self.refusal("", "Nothing was typed")
        if len(self.text) > _LONGEST:
            raise self.refusal("is far too long")
        line = _plain(self.text)
        sign = -1 if line.startswith(("-", "−")) else 1
        parts = self.parts(line[1:].lstrip() if line.startswith(("-", "−", "+")) else line)
        amounts = [(self.amount(part), self.unit(part["unit"])) for part in parts]
        if len(parts) > 1:
            self.check_chain(parts, amounts)
        base = amounts[-1][1]
        total = sum((amount * unit.factor for amount, unit in amounts), Fraction(0)) / base.factor
        try:
            return stored(sign * total, base)
        except OverflowError:
            raise self.refusal("is too large a number") from None

    def parts(self, line: str) -> list[re.Match[str]]:
        """Numbers of the line, each with what stands behind it."""
        found: list[re.Match[str]] = []
        at = 0
        while at < len(line) or not found:
            part = _PART.match(line, at)
            if part is None:
                raise self.refusal("was not understood")
            found.append(part)
            at = part.end()
        return found

    def amount(self, part: re.Match[str]) -> Fraction:
        """Exact amount of one number."""
        if part["decimal"]:
            return self.decimal(part["decimal"])
        if int(part["under"]) == 0:
            raise self.refusal("divides by zero")
        fraction = Fraction(int(part["over"]), int(part["under"]))
        if part["whole"] and fraction >= 1:
            raise self.refusal("has a fraction of one or more behind a whole number")
        return int(part["whole"] or 0) + fraction

    def decimal(self, digits: str) -> Fraction:
        """Exact amount of a number written with points and commas."""
        if _EITHER.fullmatch(digits):
            ways = f"{digits.replace(',', '')} or {digits.replace(',', '.')}"
            raise self.refusal(f"can be read as {ways}, so leave the comma out or use a point")
        if _POINT.fullmatch(digits):
            return Fraction(digits.rstrip("."))
        if _COMMA.fullmatch(digits):
            return Fraction(digits.replace(",", "."))
        if _COMMA_GROUPS.fullmatch(digits):
            return Fraction(digits.replace(",", ""))
        if _POINT_GROUPS.fullmatch(digits):
            return Fraction(digits.replace(".", "").replace(",", "."))
        raise self.refusal("has points or commas where no number has them")

    def unit(self, typed: str) -> Unit:
        """Unit that was typed behind a number, or the one that is shown."""
        word = _cleaned(typed)
        if not word:
            return shown_unit(self.kind, self.display)
        if word in _WORDS[self.kind]:
            return _WORDS[self.kind][word]
        for kind, words in _WORDS.items():
            if word in words:
                raise self.refusal(f"is {_WORDING[kind].noun}, which is not wanted here")
        if word in {"-", "−"}:
            raise self.refusal("may be a subtraction")
        raise self.refusal(f"has “{_quoted(typed)}” behind its number, which is not a unit known here")

    def check_chain(self, parts: list[re.Match[str]], amounts: list[tuple[Fraction, Unit]]) -> None:
        """Refuse several numbers that are not whole feet and inches, or whole degrees, minutes and seconds."""
        chain = _CHAINS.get(self.kind, {})
        order = list(chain)
        signs = [unit.symbol for _, unit in amounts]
        known = all(sign in chain and part["unit"].strip() for sign, part in zip(signs, parts, strict=True))
        if not known or any(order.index(a) >= order.index(b) for a, b in pairwise(signs)):
            raise self.refusal("has several numbers that do not make one reading")
        if not all((part["decimal"] or "-").isdigit() for part in parts[:-1]):
            raise self.refusal("has a fraction before its last part")
        for amount, unit in amounts[1:]:
            if amount >= chain[unit.symbol]:
                raise self.refusal(f"has {chain[unit.symbol]} or more {_CHAIN_WORDS[unit.symbol]}")

    def refusal(self, trouble: str, subject: str = "") -> ReadingError:
        """One sentence: what was typed, what is wrong with it, what to type."""
        wording = _WORDING[self.kind]
        metric = shown_unit(self.kind, self.display).factor == 1
        opening = subject or f"“{_quoted(self.text)}” {trouble}"
        return ReadingError(f"{opening}; type {wording.noun} such as {wording.metric if metric else wording.imperial}.")


def _plain(text: str) -> str:
    """Typed text in lower case with one sign for each meaning."""
    line = text.strip().translate(_ALIKE).lower().replace("''", '"')
    for sign, fraction in _FRACTION_SIGNS.items():
        line = re.sub(rf"(?<=[0-9]){sign}", f" {fraction} ", line).replace(sign, f"{fraction} ")
    line = re.sub(r"(/mm|/s|/in)\s?\^?2$", r"\1²", line.strip())
    line = re.sub(r":\s*1$", "∶", line)  # 4.10:1
    line = re.sub(r"(?<=[0-9]')-(?=[0-9])", " ", line)  # 4'-3 1/2"
    return re.sub(r"(?<=[a-z])\.(?=\s|$)", "", line)  # in., ft.


def _cleaned(unit: str) -> str:
    """Spelling of a unit without what people put between its letters."""
    word = re.sub(r"\s*/\s*|(?<=[a-z])\s+per\s+(?=[a-z°])", "/", unit.strip().lower())
    return re.sub(r"(?<=[a-z])[\s·.-]+(?=[a-z])", "", word)


def _quoted(text: str) -> str:
    """Typed text fit for a sentence: on one line, and no longer than a line."""
    line = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    return line if len(line) <= 40 else f"{line[:39]}…"


def _words() -> dict[Kind, dict[str, Unit]]:
    """Every spelling of every unit, by kind."""
    words: dict[Kind, dict[str, Unit]] = {kind: {} for kind in _WORDING}
    for unit in UNITS:
        spellings = (unit.symbol, *_SPELLINGS.get(unit.symbol, "").split())
        words[unit.kind] |= {_cleaned(spelling): unit for spelling in spellings if spelling}
    return words


_WORDS: Final = _words()
