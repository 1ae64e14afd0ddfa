"""Every sample in every state, solved once and drawn as often as a test asks."""

import itertools
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import shapely

from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.fonts import application
from app.drawing.items import Box, Disc, Item, Point, Shape, Words
from app.drawing.palette import LIGHT, Theme
from app.drawing.subject import Subject
from app.files import read_build
from geometry.document import Build, edited
from geometry.words.solve import Work, solved

application()
SAMPLES = {path.stem: path for path in sorted(Path("sample_builds").glob("*.json"))}
SIZES = ((640, 400), (700, 430), (718, 528), (794, 472), (858, 577), (1238, 719), (1500, 820))
"""Small ones, then the drawing in a window 1280, 1366, 1440 and 1920 pixels wide, and a large one."""
STATES = ("ride", "bump", "droop", "launch")


@cache
def sample(name: str) -> Build:
    """A sample's document."""
    return read_build(SAMPLES[name])


def subject_of(build: Build, state: str = "ride") -> Subject | None:
    """A build in a state, as the window makes it; None where that state is not known."""
    work = Work(build)
    whole = solved(work)
    if state == "ride":
        return Subject(build, whole, whole)
    if state == "launch":
        here = work.posed(whole, 0.0, "launch")
        return None if here is None else Subject(build, whole, here, 0.0, "launch")
    if whole.travel is None:
        return None
    at = whole.travel.axle_mm[0 if state == "droop" else -1]
    here = work.posed(whole, at)
    return None if here is None else Subject(build, whole, here, at)


@cache
def subject(name: str, state: str = "ride") -> Subject | None:
    """A sample in a state."""
    return subject_of(sample(name), state)


@cache
def page(name: str, size: tuple[int, int], state: str = "ride", theme: Theme = LIGHT) -> Drawing | None:
    """A sample drawn as the window draws it: in the form that was settled at ride height."""
    shown, ride = subject(name, state), subject(name)
    if shown is None or ride is None:
        return None
    form = drawing(ride, size, Style(theme)).form
    return drawing(shown, size, Style(theme), form=form)


def pages(name: str, size: tuple[int, int]) -> Iterator[tuple[Subject, Drawing]]:
    """Every state of a sample that is known, at a size."""
    for state in STATES:
        shown, made = subject(name, state), page(name, size, state)
        if shown is not None and made is not None:
            yield shown, made


def changed(name: str, **entries: Any) -> Build:
    """A sample with some entries changed; `a__b` stands for the path `a.b`."""
    return edited(sample(name), {path.replace("__", "."): value for path, value in entries.items()})


def draw(build: Build, size: tuple[float, float] = (1240.0, 700.0), state: str = "ride", **more: Any) -> Drawing:
    """A build drawn at a size; `more` goes to `drawing`."""
    shown = subject_of(build, state)
    assert shown is not None
    return drawing(shown, size, **more)


# --- what a drawing holds -------------------------------------------------------------------------------------------


def items(made: Drawing) -> list[Item]:
    """All items, in the order in which they are painted."""
    return [item for layer in made.layers for item in layer.items]


def written(made: Drawing) -> list[Words]:
    """All words."""
    return [item for item in items(made) if isinstance(item, Words)]


def shapes(made: Drawing) -> list[Shape]:
    """All outlines and lines."""
    return [item for item in items(made) if isinstance(item, Shape)]


def discs(made: Drawing) -> list[Disc]:
    """All circles."""
    return [item for item in items(made) if isinstance(item, Disc)]


def box(bounds: Box, less: float = 0.0) -> Any:
    """A box as a polygon, smaller on each side by so much."""
    left, top, right, bottom = bounds
    return shapely.box(left + less, top + less, right - less, bottom - less)


def line(points: tuple[Point, ...]) -> Any:
    """A line of the page."""
    return shapely.LineString(points)


def pairs(some: Any) -> Iterator[Any]:
    """Every two of them."""
    return itertools.combinations(some, 2)
