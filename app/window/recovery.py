"""A copy of unsaved work beside the program's own data, kept up to date while there is any, offered at the next start.

Each running window owns one copy and a lock beside it. A copy whose lock nobody holds is left from a window that ended
without saving.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from os import getpid
from pathlib import Path
from secrets import token_hex
from typing import Final

from pydantic import ValidationError
from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer

from app.files import build_text
from app.window.document import Document
from app.window.settings import NAME
from geometry.document import Build

_AFTER_MS: Final = 3_000


def recovery_folder() -> Path:
    """Folder that holds the copies."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    folder = Path(place) if place else Path.home() / f".{NAME.lower()}"
    return folder / "recovery"


@dataclass(frozen=True, slots=True)
class Copy:
    """A kept build: what it was called, its file if it had one, and when it was kept."""

    build: Build
    name: str
    origin: Path | None
    when: str
    file: Path

    def throw_away(self) -> None:
        """Remove the copy."""
        self.file.unlink(missing_ok=True)
        self.file.with_suffix(".lock").unlink(missing_ok=True)


class Keeper(QObject):
    """Keeps one window's copy: written a moment after each change, and at once when something goes wrong."""

    def __init__(self, document: Document, folder: Path | None = None) -> None:
        super().__init__(document)
        self._document = document
        self._folder = recovery_folder() if folder is None else folder
        self.file = self._folder / f"open-{getpid()}-{token_hex(4)}.json"
        self._lock: QLockFile | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_AFTER_MS)
        self._timer.timeout.connect(self._keep_quietly)
        document.changed.connect(self._timer.start)
        document.clean_changed.connect(self._clean_changed)

    def keep(self) -> Path | None:
        """Write the copy if there is unsaved work; return where it lies, or None where there is none to keep."""
        self._timer.stop()
        if self._document.stack.isClean():
            return None
        path = self._document.path
        tree = {
            "name": self._document.name,
            "origin": None if path is None else str(path),
            "when": datetime.now(UTC).isoformat(timespec="seconds"),
            "build": build_text(self._document.build),
        }
        self._hold()
        draft = self.file.with_suffix(".new")
        draft.write_text(json.dumps(tree), encoding="utf-8")
        draft.replace(self.file)
        return self.file

    def drop(self) -> None:
        """Remove the copy: there is nothing to lose any more."""
        self._timer.stop()
        with contextlib.suppress(OSError):
            self.file.unlink(missing_ok=True)
        self.release()

    def release(self) -> None:
        """Own the copy no longer, which then is offered at the next start if it is still there."""
        self._timer.stop()
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def _keep_quietly(self) -> None:
        with contextlib.suppress(OSError):  # a full disk or a home that takes no files: no reason to stop the work
            self.keep()

    def _hold(self) -> None:
        if self._lock is None:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._lock = _lock_of(self.file)
            self._lock.tryLock(0)

    def _clean_changed(self, clean: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        if clean:
            self.drop()


def left_copies(folder: Path | None = None) -> Iterator[Copy]:
    """Copies that no running window owns; those that cannot be read are passed over and stay."""
    place = recovery_folder() if folder is None else folder
    for file in sorted(place.glob("open-*.json")):
        lock = _lock_of(file)
        if not lock.tryLock(0):
            continue
        lock.unlock()
        try:
            tree = json.loads(file.read_text(encoding="utf-8"))
            build = Build.model_validate_json(tree["build"])
            origin = Path(tree["origin"]) if tree["origin"] else None
            yield Copy(build, str(tree["name"]), origin, _day(str(tree["when"])), file)
        except (OSError, ValueError, KeyError, TypeError, ValidationError):
            continue


def _lock_of(file: Path) -> QLockFile:
    lock = QLockFile(str(file.with_suffix(".lock")))
    lock.setStaleLockTime(0)  # a lock is given up with its process, however old it is
    return lock


def _day(when: str) -> str:
    """Local day and time in words."""
    return datetime.fromisoformat(when).astimezone().strftime("%d %B %Y at %H:%M").lstrip("0")
