"""Opening, saving and starting anew, so that no work is lost unasked."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, Signal
from PySide6.QtWidgets import QWidget

from app.differing import counted, differing
from app.files import (
    NO_FILE,
    FileChanged,
    FileTrouble,
    read_build,
    read_held,
    sample_path,
    sweep_drafts,
    write_build,
)
from app.window.document import Document
from app.window.keeping import asking
from app.window.settings import forget_recent, note_recent, word
from geometry.document import Build
from geometry.document.vehicle import Display


class Filing(QObject):
    """The document's way to and from disk. `settle` takes in what is being typed; `untaken` counts what was refused."""

    told = Signal(str)
    recent_changed = Signal()

    def __init__(
        self, document: Document, window: QWidget, settle: Callable[[], None], untaken: Callable[[], int]
    ) -> None:
        super().__init__(window)
        self._document = document
        self._window = window
        self._settle = settle
        self._untaken = untaken

    def new(self) -> None:
        """Begin an empty build in the units that were used last."""
        if self.may_go():
            self._document.open(Build(display=last_display()), None)
            self.told.emit("A new build: begin with the three angles and the length.")

    def open(self) -> None:
        """Ask for a file and open it."""
        if not self.may_go():
            return
        path = asking.which_to_open(self._window, self._folder())
        if path is not None:
            self._read(path)

    def open_path(self, path: Path) -> None:
        """Open a file that was named already."""
        if self.may_go():
            self._read(path)

    def open_sample(self, path: Path) -> None:
        """Open a sample as an untitled build, so that saving asks for a name of its own."""
        if not self.may_go():
            return
        try:
            build = read_build(path)
        except FileTrouble as trouble:
            asking.tell(self._window, "The sample cannot be opened", trouble.sentence)
            return
        self._document.open(build, None)
        self.told.emit(f"Opened the sample {build.title or path.stem}; saving asks for a name of its own.")

    def save(self) -> bool:
        """Save under the build's own name, or ask for one; False when it was not saved."""
        path = self._document.path
        return self.save_as() if path is None else self._write(path, self._as_read())

    def save_as(self) -> bool:
        """Ask for a name and save."""
        self._settle()
        suggestion = self._document.path or self._folder() / f"{file_stem(self._document.build.title)}.json"
        path = asking.where_to_save(self._window, suggestion)
        if path is None:
            return False
        return self._write(path, self._as_read() if self._is_own(path) else None)  # else the name was asked about

    def may_go(self) -> bool:
        """Whether the open build may go: nothing is unsaved, or the person saved it or let it go."""
        self._settle()
        untaken = self._untaken()
        if self._document.stack.isClean() and not untaken:
            return True
        answer = asking.what_about_unsaved(self._window, self._document.name, untaken)
        if answer == "save":
            return self.save()
        return answer == "discard"

    def _read(self, path: Path) -> None:
        sweep_drafts(path)
        try:
            build, digest = read_held(path)
        except FileTrouble as trouble:
            forget_recent(path)
            self.recent_changed.emit()
            asking.tell(self._window, "This file cannot be opened", trouble.sentence, "The open build stays as it was.")
            return
        self._document.open(build, path, digest)
        self._note(path)
        self.told.emit(f"Opened {path.name}.")

    def _write(self, path: Path, over: str | None) -> bool:
        """Save over a file that has this digest, any file where it is None; ask where it has another."""
        self._document.settle()  # the file holds what the window shows
        try:
            digest = write_build(path, self._document.whole, over)
        except FileChanged as changed:
            return self._write_changed(path, changed.digest)
        except FileTrouble as trouble:
            asking.tell(self._window, "The build was not saved", trouble.sentence, "Choose another name or place.")
            return False
        self._document.mark_saved(path, digest)
        self._note(path)
        self.told.emit(f"Saved {path.name}.")
        return True

    def _write_changed(self, path: Path, now: str) -> bool:
        """Ask what is to be done about a file that is another one than was read; False unless the build was saved."""
        theirs, differs = False, ""
        if now != NO_FILE:
            try:
                there = read_held(path)
            except FileTrouble as trouble:
                differs = f"What it holds now cannot be opened: it {trouble.what}."
            else:
                theirs, now = True, there.digest or now
                if there.build == self._document.whole:  # written otherwise, but nothing is lost
                    return self._write(path, now)
                differs = f"Yours and theirs differ in {counted(differing(self._document.whole, there.build))}."
        answer = asking.what_about_changed(self._window, path, differs, gone=now == NO_FILE, theirs=theirs)
        match answer:
            case "mine":
                return self._write(path, now)
            case "elsewhere":
                return self.save_as()
            case "theirs":
                self._read(path)
        return False

    def _as_read(self) -> str:
        """Digest that the open build's file must still have; where it is not known, one that no file has."""
        known = self._document.as_read
        return "unknown" if known is None else known

    def _is_own(self, path: Path) -> bool:
        """Whether a name leads to the open build's file, and that is there."""
        own = self._document.path
        try:
            return own is not None and own.samefile(path)
        except (OSError, ValueError):
            return False

    def _note(self, path: Path) -> None:
        note_recent(path)
        self.recent_changed.emit()

    def _folder(self) -> Path:
        if self._document.path is not None:
            return self._document.path.parent
        place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        return Path(place) if place else Path.home()


def file_stem(title: str) -> str:
    """File name, without its suffix, that suits a title.

    >>> file_stem("Farm truck, diesel six")
    'farm_truck_diesel_six'
    """
    words = "".join(letter.lower() if letter.isalnum() else " " for letter in title).split()
    return "_".join(words)[:60].rstrip("_") or "build"


def last_display() -> Display:
    """Units that were used last, inches and pound-feet at first."""
    metric = word("length") == "millimetre"
    newton = word("torque") == "newton_metre"
    return Display(
        length="millimetre" if metric else "inch",
        torque="newton_metre" if newton else "pound_foot",
        inches="sixteenths" if word("inches") == "sixteenths" else None,
    )


def samples() -> list[Path]:
    """Sample builds that come with the program."""
    try:
        folder = sample_path().parent
    except FileTrouble:
        return []
    return sorted(folder.glob("*.json"))
