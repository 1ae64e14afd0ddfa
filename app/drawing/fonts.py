"""The drawing's one font, and how wide its words are: measured by the engine that draws them."""

from __future__ import annotations

import os
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF, QGuiApplication, QRawFont

FAMILY: Final = "DejaVu Sans"
PX_PER_PT: Final = 96.0 / 72.0
SET_PX: Final = 100
"""Size at which letters are set, to be scaled when drawn: a small size would be rounded to whole pixels."""


def application() -> QGuiApplication:
    """The program's Qt application; one without a screen where there is none yet, for pictures and pages."""
    running = QGuiApplication.instance()
    if isinstance(running, QGuiApplication):
        return running
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    return QGuiApplication(["shaftwright"])


@cache
def load() -> str:
    """Take the font from where matplotlib keeps it, once, and return its name."""
    if FAMILY not in QFontDatabase.families():
        found = find_spec("matplotlib")  # found, not imported
        for place in (found.submodule_search_locations or []) if found else []:
            for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
                QFontDatabase.addApplicationFont(str(Path(place) / "mpl-data" / "fonts" / "ttf" / name))
    return FAMILY


@cache
def font(*, bold: bool = False) -> QFont:
    """The font at the size at which it is set."""
    made = QFont(load())
    made.setPixelSize(SET_PX)
    made.setBold(bold)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setFeature(QFont.Tag("liga"), 0)  # in a file "fi" stays two letters, so that what is searched for is found
    return made


@lru_cache(maxsize=2048)
def has_letter(letter: str) -> bool:
    """Whether the font has a letter in both weights; a control is none."""
    return letter.isprintable() and all(one.supportsCharacter(ord(letter)) for one in _raw())


@cache
def _raw() -> tuple[QRawFont, QRawFont]:
    application()
    return QRawFont.fromFont(font()), QRawFont.fromFont(font(bold=True))


@cache
def _metrics(*, bold: bool) -> QFontMetricsF:
    return QFontMetricsF(font(bold=bold))


@lru_cache(maxsize=4096)
def _set_width(text: str, bold: bool) -> float:  # noqa: FBT001
    return _metrics(bold=bold).horizontalAdvance(text)


def width(text: str, pt: float, *, bold: bool = False) -> float:
    """Width of words in page pixels."""
    return _set_width(text, bold) * pt * PX_PER_PT / SET_PX


def shortened(text: str, pt: float, room: float, *, bold: bool = False) -> str:
    """The words, cut with an ellipsis where they are wider than the room; nothing where not even that fits."""
    if width(text, pt, bold=bold) <= room:
        return text
    for length in range(len(text) - 1, 2, -1):
        cut = f"{text[:length].rstrip()}…"
        if width(cut, pt, bold=bold) <= room:
            return cut
    return ""


def wrapped(text: str, pt: float, room: float) -> list[str]:
    """Words in rows of a width."""
    rows: list[str] = []
    for word in text.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and width(longer, pt) <= room:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows
