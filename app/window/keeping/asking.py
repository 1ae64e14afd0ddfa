"""Every question that the window puts to the person, in one place. Nothing in them is ever read as rich text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final, Literal

from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QAbstractButton, QFileDialog, QMessageBox, QWidget

from app.window.keeping.choice_page import ChoicePage
from app.window.keeping.kept_page import KeptPage
from app.window.keeping.name_page import NamePage
from app.window.keeping.recovery import Copy
from app.window.plain import Box

Answer = Literal["save", "discard", "cancel"]
Changed = Literal["mine", "theirs", "elsewhere", "cancel"]
_BUILDS: Final = "Build files (*.json)"


def what_about_unsaved(parent: QWidget, name: str, untaken: int) -> Answer:
    """Ask whether to save before the open build goes; `untaken` counts fields whose typing was not taken."""
    note = ""
    if untaken:
        what = "one field holds" if untaken == 1 else f"{untaken} fields hold"
        note = f" Besides, {what} typing that was not understood and cannot be saved: cancel to look at it."
    box = _box(
        parent,
        QMessageBox.Icon.Question,
        "Save first?",
        f"{name} has changes that are not saved.",
        f"Save them before going on?{note}",
    )
    box.setStandardButtons(
        QMessageBox.StandardButton.Save | QMessageBox.StandardButton.Discard | QMessageBox.StandardButton.Cancel
    )
    box.setDefaultButton(QMessageBox.StandardButton.Save)
    box.button(QMessageBox.StandardButton.Discard).setText("&Discard changes")
    pressed = _answer(box)
    if pressed is box.button(QMessageBox.StandardButton.Save):
        return "save"
    return "discard" if pressed is box.button(QMessageBox.StandardButton.Discard) else "cancel"


def what_about_changed(parent: QWidget, path: Path, differs: str, *, gone: bool, theirs: bool) -> Changed:
    """Ask what to do with a file that is not what was read: it is gone, or holds what somebody else wrote.

    `differs` says in what; `theirs` is whether what it holds now can be opened.
    """
    page = ChoicePage(
        parent,
        "The file was changed",
        f"{path.name} is no longer there."
        if gone
        else f"{path.name} was changed by another window or program since it was opened or saved here.",
        "It was removed, renamed or moved since it was opened or saved here." if gone else differs,
    )
    page.add("elsewhere", "Save under another &name…", "Asks for a name; whatever is there now stays as it is.")
    if not gone:
        page.add("mine", "&Keep mine", f"Writes your build over {path.name}; what the other one wrote is lost.")
    elif path.parent.is_dir():
        page.add("mine", "&Write it there again", f"Makes {path.name} anew from your build.")
    if theirs:
        page.add("theirs", "&Take theirs", "Opens the file as it is now; your unsaved changes are lost.")
    pressed = page.ask()
    return pressed if pressed in {"mine", "theirs", "elsewhere"} else "cancel"  # type: ignore[return-value]


def which_copy(parent: QWidget, copies: Sequence[Copy]) -> Copy | None:
    """Offer the copies that were kept, to open one, to throw some away, or to leave them; None opens none."""
    page = KeptPage(parent, copies, lambda copy: whether_to_throw_away(page, copy.name))
    return page.ask()


def whether_to_throw_away(parent: QWidget, name: str) -> bool:
    """Ask once more before a copy goes for good."""
    box = _box(
        parent,
        QMessageBox.Icon.Question,
        "Throw the copy away?",
        f"Throw the copy of {name} away?",
        "It cannot be brought back.",
    )
    yes = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
    no = box.addButton("Keep it", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(no)
    return _answer(box) is yes


def what_to_call(parent: QWidget, now: str) -> str | None:
    """Ask what to call something that has a name; None where it keeps it."""
    return NamePage(parent, "Rename what is kept", "What is this plan called?", now).ask()


def which_to_open(parent: QWidget, folder: Path) -> Path | None:
    """Ask for a build file to open."""
    name, _ = QFileDialog.getOpenFileName(parent, "Open a build", str(folder), f"{_BUILDS};;All files (*)")
    return Path(name) if name else None


def where_to_save(parent: QWidget, suggestion: Path) -> Path | None:
    """Ask for the name to save a build under."""
    return _where(parent, "Save the build as", suggestion, _BUILDS, ".json")


def where_to_write(parent: QWidget, title: str, suggestion: Path, kinds: str) -> Path | None:
    """Ask for the name of a sheet or picture; the first of `kinds` is the usual one."""
    return _where(parent, title, suggestion, kinds, suggestion.suffix)


def _where(parent: QWidget, title: str, suggestion: Path, kinds: str, suffix: str) -> Path | None:
    name, _ = QFileDialog.getSaveFileName(parent, title, str(suggestion), kinds)
    if not name:
        return None
    path = Path(name)
    if path.suffix:
        return path
    path = path.with_suffix(suffix)
    return path if not path.exists() or whether_to_replace(parent, path) else None  # not the name that was confirmed


def whether_to_replace(parent: QWidget, path: Path) -> bool:
    """Ask before a file is written over whose name was completed, so that the file dialog did not ask."""
    box = _box(
        parent,
        QMessageBox.Icon.Question,
        "Replace the file?",
        f"{path.name} is there already.",
        f"Replace it? What it holds is lost. It lies in {path.parent}.",
    )
    yes = box.addButton("Replace it", QMessageBox.ButtonRole.DestructiveRole)
    no = box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(no)
    return _answer(box) is yes


def tell(parent: QWidget | None, title: str, text: str, more: str = "", details: str = "") -> None:
    """Say something that must not be overlooked; `details` are shown on a press."""
    box = _box(parent, QMessageBox.Icon.Warning, title, text, more)
    box.setStandardButtons(QMessageBox.StandardButton.Ok)
    if details:
        box.setDetailedText(details)
    _answer(box)


def _box(parent: QWidget | None, icon: QMessageBox.Icon, title: str, text: str, more: str) -> QMessageBox:
    box = Box(parent)
    box.setIcon(icon)
    box.setWindowTitle(title)
    box.setText(text)
    box.setInformativeText(more)
    return box


def _answer(box: QMessageBox) -> QAbstractButton:
    """Ask, with words alone on the buttons, and return the one that was pressed; escape presses the cancelling one."""
    for button in box.buttons():
        button.setIcon(QIcon())
    box.exec()
    box.deleteLater()
    return box.clickedButton()
