"""Every question that the window puts to the person, in one place."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.window.plain import Box

Answer = Literal["save", "discard", "cancel"]
_BUILDS: Final = "Build files (*.json)"


def what_about_unsaved(parent: QWidget, name: str, untaken: int) -> Answer:
    """Ask whether to save before the open build goes; `untaken` counts fields whose typing was not taken."""
    box = Box(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Save first?")
    box.setText(f"{name} has changes that are not saved.")
    note = ""
    if untaken:
        what = "one field holds" if untaken == 1 else f"{untaken} fields hold"
        note = f" Besides, {what} typing that was not understood and cannot be saved: cancel to look at it."
    box.setInformativeText(f"Save them before going on?{note}")
    box.setStandardButtons(
        QMessageBox.StandardButton.Save | QMessageBox.StandardButton.Discard | QMessageBox.StandardButton.Cancel
    )
    box.setDefaultButton(QMessageBox.StandardButton.Save)
    pressed = box.exec()
    if pressed == QMessageBox.StandardButton.Save:
        return "save"
    return "discard" if pressed == QMessageBox.StandardButton.Discard else "cancel"


def whether_to_recover(parent: QWidget, name: str, when: str) -> bool:
    """Ask whether to bring back a build that the program kept when it ended without saving."""
    box = Box(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Unsaved work was kept")
    box.setText(f"The program ended on {when} before {name} was saved. A copy was kept.")
    box.setInformativeText("Open the copy? If not, it is thrown away.")
    box.setStandardButtons(QMessageBox.StandardButton.Yes | QMessageBox.StandardButton.No)
    box.button(QMessageBox.StandardButton.Yes).setText("Open the copy")
    box.button(QMessageBox.StandardButton.No).setText("Throw it away")
    return box.exec() == QMessageBox.StandardButton.Yes


def which_to_open(parent: QWidget, folder: Path) -> Path | None:
    """Ask for a build file to open."""
    name, _ = QFileDialog.getOpenFileName(parent, "Open a build", str(folder), f"{_BUILDS};;All files (*)")
    return Path(name) if name else None


def where_to_save(parent: QWidget, suggestion: Path) -> Path | None:
    """Ask for the name to save a build under."""
    name, _ = QFileDialog.getSaveFileName(parent, "Save the build as", str(suggestion), _BUILDS)
    if not name:
        return None
    path = Path(name)
    return path if path.suffix else path.with_suffix(".json")


def where_to_write(parent: QWidget, title: str, suggestion: Path, kinds: str) -> Path | None:
    """Ask for the name of a sheet or picture; the first of `kinds` is the usual one."""
    name, _ = QFileDialog.getSaveFileName(parent, title, str(suggestion), kinds)
    if not name:
        return None
    path = Path(name)
    return path if path.suffix else path.with_suffix(suggestion.suffix)


def tell(parent: QWidget | None, title: str, text: str, more: str = "") -> None:
    """Say something that must not be overlooked."""
    box = Box(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle(title)
    box.setText(text)
    if more:
        box.setInformativeText(more)
    box.exec()
