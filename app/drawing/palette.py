"""Colours of the drawing: one paper, one ink, one accent, and the four verdicts, in light and in dark.

Every text colour stands at 4.5 : 1 or more on its paper and every line that matters at 3 : 1 or more (WCAG 2.2,
success criteria 1.4.3 and 1.4.11, from memory). Verdicts differ by shape and word too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final, Literal

from geometry.words.solution import Verdict

Colour = Literal["ink", "muted", "accent", "clear", "caution", "hold", "unknown"]
ThemeName = Literal["light", "dark"]
VERDICT_WORDS: Final[Mapping[Verdict, str]] = MappingProxyType(
    {"hold": "HOLD", "caution": "CAUTION", "clear": "CLEAR", "unknown": "UNKNOWN"}
)
VERDICT_SIGNS: Final[Mapping[Verdict, str]] = MappingProxyType(
    {"hold": "■", "caution": "▲", "clear": "●", "unknown": "○"}
)
"""The verdicts' shapes as letters, for the middle of a line of words."""


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours, each "#RRGGBB". `grid` and `band` are quiet ground, never the only carrier of a meaning."""

    name: ThemeName
    paper: str
    ink: str
    muted: str
    grid: str
    band: str
    accent: str
    clear: str
    caution: str
    hold: str
    unknown: str

    def colour(self, name: Colour) -> str:
        """Colour of words of that kind."""
        colour: str = getattr(self, name)
        return colour


LIGHT: Final = Theme(
    name="light",
    paper="#FBFAF7",
    ink="#1F2A33",
    muted="#5F6B74",
    grid="#E9E6DE",
    band="#E3E0D8",
    accent="#1F5F86",
    clear="#007062",
    caution="#8C5B00",
    hold="#A8142F",
    unknown="#5F6B74",
)
DARK: Final = Theme(
    name="dark",
    paper="#14191D",
    ink="#E4E9EC",
    muted="#8D9AA3",
    grid="#222A30",
    band="#2A333A",
    accent="#7FB7D6",
    clear="#5CC7A0",
    caution="#F0C24B",
    hold="#FF8A70",
    unknown="#8D9AA3",
)
THEMES: Final[Mapping[ThemeName, Theme]] = MappingProxyType({"light": LIGHT, "dark": DARK})


def relative_luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour "#RRGGBB", 0 for black to 1 for white.

    Source: WCAG 2.2, definition of relative luminance (from memory).
    """
    parts = []
    for start in (1, 3, 5):
        part = int(colour[start : start + 2], 16) / 255
        parts.append(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
    red, green, blue = parts
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21.

    Source: WCAG 2.2, definition of contrast ratio (from memory).

    >>> round(contrast("#767676", "#FFFFFF"), 2)
    4.54
    """
    high, low = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@lru_cache(maxsize=512)
def mixed(colour: str, paper: str, share: float) -> str:
    """Opaque colour that `share` of a colour over paper gives, for painters and printers without transparency."""
    pairs = [(int(colour[i : i + 2], 16), int(paper[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(share * top + (1 - share) * under):02X}" for top, under in pairs)


def verdict_shape(verdict: Verdict) -> tuple[tuple[float, float], ...]:
    """Outline of a verdict's shape in a box from −1 to 1, y down; an empty one is a circle.

    A square for hold, a triangle for caution, a full circle for clear, an open circle for unknown.
    """
    if verdict == "hold":
        return ((-0.86, -0.86), (0.86, -0.86), (0.86, 0.86), (-0.86, 0.86))
    if verdict == "caution":
        return ((0.0, -0.95), (1.05, 0.86), (-1.05, 0.86))
    return ()
