"""To keep a plan beside the build, to call it otherwise, to drop it: each a step of the history, told in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import ValidationError

from app.beside import called
from app.complaints import first_complaint
from geometry.document.beside import free_name, keeping, kept_as

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from app.window.document import Document

_NONE = "Nothing is kept beside this build."


def keep(document: Document) -> str:
    """Keep what is chosen, under a name made of what is planned; what is kept already is named."""
    build = document.build
    same = kept_as(build)
    if same is not None:
        return f"This plan is kept already, as “{build.variants[same].name}”: change the plan now, Ctrl+B shows both."
    name = free_name(build, called(build))
    try:
        document.apply(keeping(build, name), f"keeping “{name}” beside")
    except ValidationError as error:
        return first_complaint(error, build.display).sentence
    return f"Kept beside as “{name}”: change the plan now, Ctrl+B shows both."


def rename(document: Document, number: int, parent: QWidget) -> str:
    """Ask for another name of a kept plan, and give it that."""
    from app.window.keeping import asking

    build = document.build
    if not build.variants:
        return _NONE
    now = build.variants[number].name
    name = asking.what_to_call(parent, now)
    if name is None or name == now:
        return f"It is still called “{now}”."
    try:
        document.apply({f"variants.{number}.name": name}, f"calling what is kept “{name}”")
    except ValidationError as error:
        return first_complaint(error, build.display).sentence
    return f"“{now}” is now called “{document.build.variants[number].name}”."


def drop(document: Document, number: int) -> str:
    """Drop a kept plan."""
    build = document.build
    if not build.variants:
        return _NONE
    name = build.variants[number].name
    document.apply({f"variants.{number}": None}, f"dropping “{name}”")
    return f"Dropped “{name}”; Ctrl+Z takes it back."
