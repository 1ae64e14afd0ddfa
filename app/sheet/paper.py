"""Paper that every page goes on: sizes, margins, and what its foot says of the build it is of."""

from __future__ import annotations

from datetime import UTC, date, datetime
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from app.sheet.flow import plain

if TYPE_CHECKING:
    from geometry.document import Build

PaperName = Literal["letter", "a4"]
SIZES: Final = MappingProxyType({
    "letter": (8.5 * 96.0, 11.0 * 96.0),
    "a4": (210.0 / 25.4 * 96.0, 297.0 / 25.4 * 96.0),  # ISO 216
})  # fmt: skip
"""Pages in pixels, 96 to the inch."""
SIDE, TOP, BOTTOM = 30.0, 26.0, 26.0
"""Margins, wider than the unprintable edge of a common laser printer, about 16 px."""
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class Frame(NamedTuple):
    """Where things may stand on a page."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def room(self) -> float:
        """Its width."""
        return self.right - self.left


def frame_of(size: tuple[float, float]) -> Frame:
    """What the margins leave of a page."""
    return Frame(SIDE, TOP, size[0] - SIDE, size[1] - BOTTOM)


def today() -> date:
    """Date of the day where the person is."""
    return datetime.now(tz=UTC).astimezone().date()


def told_at_the_foot(build: Build, what: str, source_name: str, printed_on: date | None) -> tuple[str, str, str, str]:
    """File, date, units and program, for the foot of a page; the date is today's where it is not given."""
    day, display = printed_on or today(), build.display
    units = f"{'in' if display.length == 'inch' else 'mm'} · {'lb·ft' if display.torque == 'pound_foot' else 'N·m'}"
    date_words = f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
    return plain(source_name) or "not saved yet", date_words, f"{units} first", f"Shaftwright {what}"
