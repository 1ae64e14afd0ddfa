"""What a drawing is made of before any painter sees it: strokes and labels in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from geometry.words.solution import Part, Verdict

Floats = NDArray[np.float64]
View = Literal["side", "top"]
VIEWS: tuple[View, ...] = ("side", "top")
Layer = Literal["static", "moving"]
Kind = Literal["measured", "schematic", "empty"]
Role = Literal[
    "ground_fill", "grid", "axis", "obstacle", "ghost", "faint", "middle", "selected", "outline", "ground", "shaft",
    "shaft_line", "wedge_clear", "wedge_caution", "wedge_hold", "arc_clear", "arc_caution", "arc_hold", "centre",
    "spring", "pivot", "joint", "joint_mark",
]  # fmt: skip
"""How a stroke looks; also the order in which strokes lie over each other, first at the bottom."""
SizeClass = Literal["big", "label", "axis"]
Colour = Literal["ink", "muted", "accent", "clear", "caution", "hold", "unknown"]


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One line or closed outline in one view, (n, 2) points in mm: station and height, or station and distance right.

    `hard` strokes are never covered by words; the others only where there is no better place.
    """

    key: str
    view: View
    points: Floats
    role: Role
    part: Part | None = None
    layer: Layer = "moving"
    closed: bool = False
    hard: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row of words in a label; a verdict puts its shape before them. `short` serves where there is little room.

    `finding` and `part` name the finding that it tells. A `small` row is written at label size whatever its label's
    size is. `more` is how many further findings it counts.
    """

    text: str
    short: str = ""
    verdict: Verdict | None = None
    finding: str = ""
    part: str = ""
    small: bool = False
    more: int = 0


@dataclass(frozen=True, slots=True)
class Label:
    """Words that belong to a point of the drawing; the placement finds them room.

    `towards` are the directions, best first, in which the words would lie from their anchor: (station, up) in the
    side view and (station, right) in the top view, of any length. A smaller `rank` is more important. What is `kept`
    is never dropped. Several anchors, best first, are places that serve equally, as along a line; no anchor stands for
    words about the whole view, in its upper corner.
    """

    key: str
    view: View
    rows: tuple[Row, ...]
    anchors: tuple[tuple[float, float], ...]
    towards: tuple[tuple[float, float], ...] = ((0.0, 1.0),)
    size: SizeClass = "label"
    colour: Colour = "ink"
    bold: bool = False
    rank: int = 50
    kept: bool = False
    part: Part | None = None

    @property
    def text(self) -> str:
        """The words as they stand at full length, one line a row."""
        return "\n".join(row.text for row in self.rows)


@dataclass(frozen=True, slots=True)
class Extents:
    """What a page must show, mm: `stations` along the vehicle, `heights` of the side view, `sides` of the top view.

    `wish_stations` and the last of `wish_sides` are shown as well where the scale hardly suffers. `subject` is what
    must never leave the page, shaft and axle: stations from and to, heights from and to, sides from and to.
    """

    stations: tuple[float, float]
    heights: tuple[float, float]
    sides: tuple[float, float]
    wish_stations: tuple[float, float]
    wish_sides: tuple[tuple[float, float], ...]
    subject: tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """The whole drawing of one solution, ready to be placed on any page."""

    kind: Kind
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    extents: Extents
    captions: dict[View, str]
    hint: str
    inches: bool
    says: str
    state: str = ""
    """Which state is drawn, where it is not ride height without torque."""
