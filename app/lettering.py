"""Letters of the one font in which drawings and the sheet are set, and what stands for a letter that it lacks."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

from matplotlib.font_manager import FontProperties, fontManager, get_font

from geometry.document.text import INSTEAD

if TYPE_CHECKING:
    from geometry.document import Build

FONT: Final = "DejaVu Sans"
_SHOWN: Final = 6  # of letters and of entries that are named at once


@cache
def font_file(*, bold: bool) -> str:
    """File of the font, which comes with matplotlib."""
    return str(fontManager.findfont(FontProperties(family=FONT, weight="bold" if bold else "normal")))


def printable(text: str) -> str:
    r"""Text on one line in which a "�" stands for each letter that the font lacks.

    >>> printable("tank 漢\n")
    'tank ��'
    """
    known = _letters()
    return text if known.issuperset(text) else "".join(sign if sign in known else INSTEAD for sign in text)


def lacking(build: Build) -> str:
    """One sentence that names the entries whose letters the font lacks and the letters; nothing where it has all.

    >>> from geometry.document import Build
    >>> lacking(Build(title="tank 漢"))
    'Title: the font of paper and pictures lacks 漢; a � stands for it there.'
    """
    texts = {"Title": build.title, "Notes": build.notes}
    texts |= {f"Shock {number}: Name": one.name for number, one in enumerate(build.shocks, start=1)}
    texts |= {f"Torque bar {number}: Name": one.name for number, one in enumerate(build.torque_bars, start=1)}
    texts |= {f"Obstacle {number}: Name": one.name for number, one in enumerate(build.obstacles, start=1)}
    known = _letters() | {"\n"}
    missing = {title: lost for title, text in texts.items() if (lost := set(text) - known)}
    if not missing:
        return ""
    letters = sorted(set().union(*missing.values()))
    words = " ".join(letters[:_SHOWN]) + (" …" if len(letters) > _SHOWN else "")
    titles = ", ".join(list(missing)[:_SHOWN]) + (" …" if len(missing) > _SHOWN else "")
    return f"{titles}: the font of paper and pictures lacks {words}; a {INSTEAD} stands for it there."


@cache
def _letters() -> frozenset[str]:
    """Letters that the font has in both weights, without controls."""
    found = [get_font(font_file(bold=bold)).get_charmap().keys() for bold in (False, True)]
    return frozenset(letter for code in found[0] & found[1] if (letter := chr(code)).isprintable())
