"""What stands for a letter that the one font of drawing and sheet lacks, the same on every machine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.drawing.fonts import has_letter
from geometry.document.text import INSTEAD

if TYPE_CHECKING:
    from geometry.document import Build

_SHOWN: Final = 6  # of letters and of entries that are named at once


def printable(text: str) -> str:
    r"""Text on one line in which a "�" stands for each letter that the font lacks.

    >>> printable("tank 漢\n")
    'tank ��'
    """
    return text if all(map(has_letter, text)) else "".join(sign if has_letter(sign) else INSTEAD for sign in text)


def lacking(build: Build) -> str:
    """One sentence that names the entries whose letters the font lacks and the letters; nothing where it has all.

    >>> from geometry.document import Build
    >>> lacking(Build(title="tank 漢"))
    'Title: the font of paper and pictures lacks 漢; a � stands for it there.'
    """
    texts = {"Title": build.title, "Notes": build.notes}
    texts |= {f"Shock {number}: Name": one.name for number, one in enumerate(build.shocks, start=1)}
    texts |= {f"Torque bar {number}: Name": one.name for number, one in enumerate(build.torque_bars, start=1)}
    texts |= {f"Hose or cable {number}: Name": one.name for number, one in enumerate(build.flexible_lines, start=1)}
    texts |= {f"Obstacle {number}: Name": one.name for number, one in enumerate(build.obstacles, start=1)}
    texts |= {f"Set of readings {number}: Day": one.day for number, one in enumerate(build.measured_again, start=1)}
    lost = {title: {one for one in text if one != "\n" and not has_letter(one)} for title, text in texts.items()}
    missing = {title: letters for title, letters in lost.items() if letters}
    if not missing:
        return ""
    letters = sorted(set().union(*missing.values()))
    words = " ".join(letters[:_SHOWN]) + (" …" if len(letters) > _SHOWN else "")
    titles = ", ".join(list(missing)[:_SHOWN]) + (" …" if len(missing) > _SHOWN else "")
    return f"{titles}: the font of paper and pictures lacks {words}; a {INSTEAD} stands for it there."
