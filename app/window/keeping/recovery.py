"""A copy of unsaved work beside the program's own data, kept up to date while there is any, offered at the next start.

Each running window owns one copy and a lock beside it. A copy whose lock nobody holds is left from a window that ended
without saving. Whoever looks at it holds its lock meanwhile, so that two windows never offer or remove the same one.
"""

from __future__ import annotations

import contextlib
import json
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from os import getpid
from pathlib import Path
from secrets import token_hex
from typing import Final

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer, Signal

from app.differing import counted, differing
from app.files import LARGEST_BYTES, FileTrouble, build_text, read_held
from app.window.document import Document
from app.window.settings import NAME
from geometry.document import Build

_AFTER_MS: Final = 2_000  # with what one edit and the writing take, at most 3 s of work are without a copy
_LARGEST_COPY: Final = 3 * LARGEST_BYTES  # a build's text within a text: quotation marks and line ends count double
_YOUNG_S: Final = 60


def recovery_folder() -> Path:
    """Folder that holds the copies."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    folder = Path(place) if place else Path.home() / f".{NAME.lower()}"
    return folder / "recovery"


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that a window left: when it was kept, what it is called, and in which entries it differs from its file.

    `build` is None where the copy cannot be read; `differs` then says why. `origin` is the file that the build was read
    from, if any, and `as_read` the digest of what that held.
    """

    file: Path
    lock: QLockFile = field(repr=False, compare=False)
    name: str
    when: datetime
    differs: str
    build: Build | None = None
    origin: Path | None = None
    as_read: str | None = None

    @property
    def day(self) -> str:
        """Local day and time in words."""
        return self.when.astimezone().strftime("%d %B %Y at %H:%M").lstrip("0")

    def leave(self) -> None:
        """Leave the copy for another time."""
        self.lock.unlock()

    def throw_away(self) -> None:
        """Remove the copy."""
        with contextlib.suppress(OSError):
            self.file.unlink(missing_ok=True)
        self.lock.unlock()


class Keeper(QObject):
    """Keeps one window's copy: written soon after the first change that has none, at once when something goes wrong.

    `troubled` says why no copy can be kept, and with an empty text that one can be again.
    """

    troubled = Signal(str)

    def __init__(self, document: Document, folder: Path | None = None) -> None:
        super().__init__(document)
        self._document = document
        folder = recovery_folder() if folder is None else folder
        self.file = folder / f"open-{getpid()}-{token_hex(4)}.json"
        self._lock: QLockFile | None = None
        self._trouble = ""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_AFTER_MS)
        self._timer.timeout.connect(self._keep_quietly)
        document.changed.connect(self._changed)
        document.clean_changed.connect(self._clean_changed)

    def keep(self) -> Path | None:
        """Write the copy if there is unsaved work; return where it lies, or None where there is none to keep.

        Raises
        ------
        OSError
            When the disk is full, say; the copy of before, if there is one, is still there.
        """
        self._timer.stop()
        if self._document.stack.isClean():
            return None
        path = self._document.path
        tree = {
            "name": self._document.name,
            "origin": None if path is None else str(path.absolute()),
            "as_read": self._document.as_read,
            "when": datetime.now(UTC).isoformat(timespec="seconds"),
            "build": build_text(self._document.whole),
        }
        self._hold()
        draft = self.file.with_suffix(".new")
        try:
            draft.write_text(json.dumps(tree), encoding="utf-8")
            draft.replace(self.file)
        except OSError:
            with contextlib.suppress(OSError):
                draft.unlink(missing_ok=True)
            raise
        self._say("")
        return self.file

    def adopt(self, copy: Copy) -> None:
        """Own a copy that another window left, so that what it holds is never without one."""
        self.drop()
        self.file, self._lock = copy.file, copy.lock

    def drop(self) -> None:
        """Remove the copy: there is nothing to lose any more."""
        with contextlib.suppress(OSError):
            self.file.unlink(missing_ok=True)
        self.release()
        self._say("")

    def release(self) -> None:
        """Own the copy no longer, which then is offered at the next start if it is still there."""
        self._timer.stop()
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def _changed(self) -> None:
        if not self._timer.isActive():  # counted from the first edit without a copy: later ones do not put it off
            self._timer.start()
        elif self._timer.remainingTime() == 0:  # overdue: the window was held up, and this edit came first
            self._keep_quietly()

    def _keep_quietly(self) -> None:
        try:
            self.keep()
        except OSError as error:  # a full disk or a home that takes no files: no reason to stop the work
            self._say((error.strerror or str(error)).lower())
            self._timer.start()

    def _hold(self) -> None:
        if self._lock is not None and self._lock.isLocked():
            return
        self.file.parent.mkdir(parents=True, exist_ok=True)
        lock = _lock_of(self.file)
        if not lock.tryLock(0):
            raise OSError("its folder takes no files")
        self._lock = lock

    def _say(self, trouble: str) -> None:
        if trouble != self._trouble:
            self._trouble = trouble
            self.troubled.emit(trouble)

    def _clean_changed(self, clean: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        if clean:
            self.drop()
        else:
            self._changed()


def left_copies(folder: Path | None = None) -> list[Copy]:
    """Copies that no running window owns, the latest first; their locks are held until they are left or thrown away.

    A copy that holds nothing but what its file holds is removed, and so is what a killed window had half written.
    """
    place = recovery_folder() if folder is None else folder
    found: list[Copy] = []
    try:
        names = sorted({file.name.partition(".")[0] for file in place.glob("open-*")})
    except OSError:
        return []
    for name in names:
        file = place / f"{name}.json"
        lock = _lock_of(file)
        if not _take(lock, file):
            continue
        with contextlib.suppress(OSError):
            file.with_suffix(".new").unlink(missing_ok=True)
        copy = _read(file, lock) if file.exists() else None
        if copy is None:
            lock.unlock()
        elif copy.differs:
            found.append(copy)
        else:
            copy.throw_away()
    return sorted(found, key=lambda copy: copy.when, reverse=True)


def _read(file: Path, lock: QLockFile) -> Copy:
    try:
        if file.stat().st_size > _LARGEST_COPY:
            return _unreadable(file, lock)
        tree = json.loads(file.read_text(encoding="utf-8"))
        build = Build.model_validate_json(tree["build"])
        when = datetime.fromisoformat(tree["when"])
        origin = Path(tree["origin"]) if tree["origin"] else None
        as_read = None if tree.get("as_read") is None else str(tree["as_read"])
        differs = _differs(build, origin, as_read)
        copy = Copy(file, lock, str(tree["name"]), when.astimezone(UTC), differs, build, origin, as_read)
        return copy if copy.day else _unreadable(file, lock)
    except Exception:  # whatever is wrong with a copy, the start goes on and the copy stays
        return _unreadable(file, lock)


def _unreadable(file: Path, lock: QLockFile) -> Copy:
    try:
        when = datetime.fromtimestamp(file.stat().st_mtime, UTC)
    except (OSError, ValueError, OverflowError):
        when = datetime.fromtimestamp(0, UTC)
    return Copy(file, lock, file.name, when, f"It cannot be read by this version; it lies in {file.parent}.")


def _differs(build: Build, origin: Path | None, as_read: str | None) -> str:
    """In which entries a copy differs from its file; empty where it does not."""
    if origin is None:
        return f"Never saved: {counted(differing(Build(), build))}"
    try:
        held = read_held(origin)
    except FileTrouble as trouble:
        return f"{origin.name} {trouble.what}. The copy has {counted(differing(Build(), build))}"
    if held.build == build:
        return ""
    later = f"{origin.name} was changed since. " if as_read is not None and held.digest != as_read else ""
    return f"{later}Differs from {origin.name} in {counted(differing(held.build, build))}"


def _lock_of(file: Path) -> QLockFile:
    lock = QLockFile(str(file.with_suffix(".lock")))
    lock.setStaleLockTime(0)  # a lock is given up with its process, however old it is
    return lock


def _take(lock: QLockFile, file: Path) -> bool:
    """Whether no running window owns a copy; if so, its lock is held now, if the disk lets it."""
    if lock.tryLock(0) or lock.error() != QLockFile.LockError.LockFailedError:
        return True  # on a full disk a lock cannot be had, but the copy is there and is offered
    try:
        empty = file.with_suffix(".lock").stat()
    except OSError:
        return False
    broken = empty.st_size == 0 and time.time() - empty.st_mtime > _YOUNG_S  # a power cut: it names no owner
    return broken and lock.removeStaleLockFile() and lock.tryLock(0)
