"""What is remembered from one day to the next: sizes, recent files, light or dark. Never anything of a build."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QSettings

from app.papers.kinds import BEHIND, What

NAME: Final = "Shaftwright"
_MOST_RECENT: Final = 8
_BEHIND: Final = "behind_sheet"


def settings() -> QSettings:
    """The settings file, plain text in the person's own configuration folder."""
    return QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, NAME, NAME)


def word(key: str, fallback: str = "") -> str:
    """A remembered word."""
    found = settings().value(key)
    return found if isinstance(found, str) else fallback


def remember(key: str, value: object) -> None:
    """Remember a value."""
    settings().setValue(key, value)


def recent_files() -> list[Path]:
    """Files that were opened or saved, the latest first."""
    found = settings().value("recent_files")
    names = [found] if isinstance(found, str) else found if isinstance(found, list) else []
    return [Path(name) for name in names if isinstance(name, str) and name]


def note_recent(path: Path) -> None:
    """Put a file at the head of the recent ones."""
    latest = path.resolve()
    kept = [latest, *(other for other in recent_files() if other != latest)]
    remember("recent_files", [str(one) for one in kept[:_MOST_RECENT]])


def forget_recent(path: Path) -> None:
    """Take a file out of the recent ones, however it was named."""
    gone = path.resolve()
    remember("recent_files", [str(other) for other in recent_files() if other != gone])


def papers_behind() -> list[What]:
    """Papers that go behind the sheet as further pages."""
    wanted = word(_BEHIND).split()
    return [one for one in BEHIND if one in wanted]


def want_behind(what: What, *, on: bool) -> None:
    """Put a paper behind the sheet from now on, or no longer."""
    wanted = [one for one in BEHIND if (on if one == what else one in papers_behind())]
    remember(_BEHIND, " ".join(wanted))
