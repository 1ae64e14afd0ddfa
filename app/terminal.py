"""What all that is printed in a terminal has in common: how wide it is, how it begins, and how lines are broken."""

from __future__ import annotations

import textwrap
from typing import Final

from app.complaints import one_line
from app.naming import other_words
from geometry.document import Build
from geometry.words.names import whole_name
from geometry.words.wording import capital

WIDTH: Final = 98


def headed(build: Build, source_name: str) -> str:
    """The first line: what the build is called, and its file; of two drivelines which one, and a line on the other."""
    shaft = f"{capital(whole_name(build))}: " if build.drivelines else ""
    first = one_line(f"{shaft}{build.title.strip() or 'Untitled build'} ({source_name})")[:WIDTH]
    other = other_words(build)
    return f"{first}\n{capital(other)}; --shaft {other.partition(' ')[0]} tells of it" if other else first


def wrapped(text: str, later: str = "") -> list[str]:
    """Words in lines no wider than `WIDTH`, those behind the first indented."""
    return textwrap.wrap(one_line(text), WIDTH, subsequent_indent=later)
