"""What a drawing is made of, in page pixels (96 to the inch, y down)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple, TypeAlias

from app.drawing.palette import Theme
from geometry.words.solution import Part

Point: TypeAlias = tuple[float, float]
Box: TypeAlias = tuple[float, float, float, float]
"""Left, top, right, bottom."""
ViewName = Literal["side", "top", "rear"]
VIEWS: Final[tuple[ViewName, ...]] = ("side", "top", "rear")


class Stroke(NamedTuple):
    """How a line is drawn: colour, width in pixels, lengths of dashes and gaps in pixels, none for a full line."""

    colour: str
    width: float = 1.0
    dash: tuple[float, ...] = ()


class Shape(NamedTuple):
    """A closed outline, or an open line. No fill where `fill` is empty, no line where `stroke` is None."""

    points: tuple[Point, ...]
    fill: str = ""
    stroke: Stroke | None = None
    closed: bool = True
    opacity: float = 1.0


class Disc(NamedTuple):
    """A circle."""

    centre: Point
    radius: float
    fill: str = ""
    stroke: Stroke | None = None


class Words(NamedTuple):
    """Words that begin at `x` on the baseline `base`; `pt` is their size, 72 to the inch."""

    x: float
    base: float
    text: str
    pt: float
    colour: str
    bold: bool = False


Item: TypeAlias = Shape | Disc | Words


class Layer(NamedTuple):
    """Items in the order in which they are drawn, cut off at a box where there is one."""

    items: tuple[Item, ...]
    box: Box | None = None

    def moved(self, dx: float, dy: float) -> Layer:
        """Return the same layer elsewhere."""
        box = self.box
        if box is not None:
            box = (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)
        return Layer(tuple([_moved(one, dx, dy) for one in self.items]), box)


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Words):
        return item._replace(x=item.x + dx, base=item.base + dy)
    if isinstance(item, Disc):
        return item._replace(centre=(item.centre[0] + dx, item.centre[1] + dy))
    return item._replace(points=tuple([(x + dx, y + dy) for x, y in item.points]))


@dataclass(frozen=True)
class Page:
    """What is painted: a page's size, its colours, and its layers from the lowest up."""

    width: float
    height: float
    theme: Theme
    layers: tuple[Layer, ...]


class Target(NamedTuple):
    """What is chosen by a press on a place of the page: a part, one of its findings, or an obstacle by its number."""

    part: Part
    outline: tuple[Point, ...]
    finding: str = ""
    obstacle: int | None = None


class Leader(NamedTuple):
    """A line from a cell of either row to what it tells of, and the cell's key; `at` is where it ends."""

    key: str
    points: tuple[Point, ...]

    @property
    def at(self) -> Point:
        """Where it ends in the view."""
        return self.points[-1]
