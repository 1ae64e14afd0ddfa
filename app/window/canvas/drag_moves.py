"""From a drag or a key to changes of the build: displaced, turned back into the axes of measuring, snapped; pure."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, radians
from typing import TYPE_CHECKING, Final

import numpy as np

from app.drawing.items import ViewName
from app.units import show
from geometry.document import value_at
from geometry.mechanics.vectors import ZERO, Vector, turned
from geometry.words.wording import small

if TYPE_CHECKING:
    from app.window.canvas.handles import Handle, Pair
    from geometry.document import Build
    from geometry.document.vehicle import Display

_SAID: Final[dict[ViewName, tuple[str, str]]] = {
    "side": ("back", "up"), "top": ("back", "right"), "rear": ("right", "up"),
}  # fmt: skip
"""What the two numbers of a place are called."""
Numbers = tuple[float, ...]
"""What a handle stands for in its view: two coordinates as measured, mm, or one angle, degrees."""


@dataclass(frozen=True, slots=True)
class Steps:
    """What a drag snaps to, and how far a key moves."""

    length_mm: float
    angle_deg: float


_STEPS: Final = {"inch": Steps(12.7, 0.5), "millimetre": Steps(5.0, 0.5)}
_FINE: Final = {"inch": Steps(25.4 / 16.0, 0.1), "millimetre": Steps(1.0, 0.1)}
FREE: Final = Steps(0.01, 0.01)
"""No snapping, but for digits that nobody measures."""


def steps(display: Display, *, fine: bool = False) -> Steps:
    """Half inches or half centimetres and half degrees; fine, what the tape's and the gauge's short marks show."""
    return (_FINE if fine else _STEPS)[display.length]


def numbers_of(handle: Handle, build: Build) -> Numbers:
    """What the handle stands for, as the build has it."""
    value = value_at(build, handle.path)
    if handle.about is not None:
        return (handle.empty[0] if value is None else float(value),)
    point = handle.empty if value is None else value if handle.corner is None else value[handle.corner]
    return tuple(float(point[axis]) for axis in handle.axes)


def changes_of(handle: Handle, build: Build, numbers: Numbers) -> dict[str, object]:
    """Edit that gives the handle these numbers and leaves everything else as it is.

    >>> from geometry import Build, edited
    >>> from app.window.canvas.handles import Handle
    >>> build = edited(Build(), {"axle.centre_mm": (3000.0, 0.0, 400.0)})
    >>> centre = Handle("side axle centre", "side", (3000.0, 400.0), "axle.centre_mm", "Axle centre", "axle", (0, 2))
    >>> changes_of(centre, build, (3010.0, 410.0))
    {'axle.centre_mm': (3010.0, 0.0, 410.0)}
    """
    if handle.about is not None:
        return {handle.path: numbers[0]}
    value = value_at(build, handle.path)
    if handle.corner is not None:
        return {handle.path: (*value[: handle.corner], numbers, *value[handle.corner + 1 :])}
    point = list(handle.empty if value is None else value)
    for axis, number in zip(handle.axes, numbers, strict=True):
        point[axis] = number
    return {handle.path: tuple(point)}


def dragged(handle: Handle, start: Numbers, to: Pair, by: Steps) -> Numbers:
    """Numbers that bring a handle from where it was taken to a place over the floor, mm in its view.

    A coordinate that moves by less than half a step stays exactly as it was measured.
    """
    if handle.about is not None:
        turn = _heading(handle, to) - _heading(handle, handle.at)
        turn = (turn + 180.0) % 360.0 - 180.0
        return (_snapped(start[0], handle.grows * turn, by.angle_deg),)
    way = to[0] - handle.at[0], to[1] - handle.at[1]
    if handle.view == "side":
        back = turned(Vector(np.array(way[0]), ZERO, np.array(way[1])), np.array(-handle.turned_deg))
        moved = (float(back.x), float(back.z))
    elif handle.view == "rear":
        # The station stays as the tape read it, so all of the way up is made in the frame's own axis.
        moved = (way[0], way[1] / cos(radians(handle.turned_deg)))
    else:
        # The height stays as the tape read it, so all of the way along the floor is made in the frame's own axis.
        moved = (way[0] / cos(radians(handle.turned_deg)), way[1])
    return tuple(_snapped(one, far, by.length_mm) for one, far in zip(start, moved, strict=True))


def nudged(handle: Handle, now: Numbers, along: int, up: int, by: Steps) -> Numbers:
    """Numbers after one key, to the next whole step: along the page (rearward, or from behind right), up the page."""
    if handle.about is not None:
        return (_stepped(now[0], up * int(handle.rising), by.angle_deg),)
    return _stepped(now[0], along, by.length_mm), _stepped(now[1], up, by.length_mm)


def words(handle: Handle, numbers: Numbers, display: Display) -> str:
    """What the handle now stands for, as gauge and tape read it, and where that is not what the drawing shows."""
    if handle.about is not None:
        return f"{handle.title} {show(numbers[0], 'deg', display)}"
    one, other = _SAID[handle.view]
    first, last = (show(number, "mm", display) for number in numbers)
    return f"{handle.title}: {one} {first}, {other} {last}{', as measured before the lift' if handle.lifted else ''}"


def set_words(handle: Handle, numbers: Numbers, display: Display) -> str:
    """What a drag has set, the plan or a measurement, e.g. Set in the plan: wedge at the perches 1.5°."""
    kind = "Set in the plan" if handle.path.startswith("plan.") else "Measurement changed"
    said = words(handle, numbers, display)
    return f"{kind}: {small(said)}."


def _heading(handle: Handle, at: Pair) -> float:
    """Slope or plan of the line from the point it turns about, degrees."""
    about = handle.about or (0.0, 0.0)
    across = at[1] - about[1]
    return degrees(atan2(-across if handle.view == "side" else across, at[0] - about[0]))


def _snapped(start: float, moved: float, step: float) -> float:
    if abs(moved) < 0.5 * step:
        return start
    return round(round((start + moved) / step) * step, 6) + 0.0


def _stepped(now: float, way: int, step: float) -> float:
    """Next whole number of steps in that way; as it is where the key does not go that way."""
    if way == 0:
        return now
    here = now / step
    nearest = round(here)
    if abs(here - nearest) > 1e-6:  # between two steps: the next of them in that way
        nearest = int(here // 1.0) + (0 if way > 0 else 1)
    return round((nearest + way) * step, 6) + 0.0
