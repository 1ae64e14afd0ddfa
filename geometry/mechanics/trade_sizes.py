"""Sizes of universal joints by the series that the trade calls them by; data, each row with its source.

Greatest angles are not among them: those depend on the yoke, so they are entered from the part.
"""

from math import hypot
from typing import NamedTuple

_INCH_MM = 25.4
_MEMORY = "from memory: measure the part"


class JointSeries(NamedTuple):
    """A series of joint: its trade name, cap diameter, span over opposite caps, how they are held, and the source.

    `held` is "outside" or "inside" for rings there, "plates" for a plate with two bolts on each cap.
    """

    name: str
    cap_mm: float
    span_mm: float
    held: str
    source: str


JOINT_SERIES = tuple(
    JointSeries(name, cap_in * _INCH_MM, span_in * _INCH_MM, held, source)
    for name, cap_in, span_in, held, source in (
        ("1310", 1.062, 3.219, "outside", _MEMORY),
        ("1330", 1.062, 3.625, "outside", _MEMORY),
        ("1350", 1.188, 3.625, "outside", _MEMORY),
        ("1410", 1.188, 4.188, "outside", _MEMORY),
        ("1480", 1.375, 4.188, "outside", _MEMORY),
        ("1550", 1.375, 4.969, "outside", _MEMORY),
        ("1610", 1.875, 5.313, "plates", _MEMORY),
        ("1710", 1.938, 6.094, "plates", _MEMORY),
        ("1810", 1.938, 7.547, "plates", _MEMORY),
    )
)
"""From the lightest to the heaviest."""


def least_swing_mm(series: JointSeries) -> float:
    """Diameter that a joint sweeps at the least, mm: the circle of its caps' outer corners, sqrt(span² + cap²).

    The yoke's ears may stand out farther; where their swing was measured, that counts.

    Source: geometry of the cross.

    >>> round(least_swing_mm(JointSeries("by hand", 30.0, 40.0, "outside", "a 3-4-5 triangle")), 9)
    50.0
    """
    return hypot(series.span_mm, series.cap_mm)


class StockShock(NamedTuple):
    """Lengths that shocks are sold in, eye to eye pushed in and pulled out, and their source."""

    closed_mm: float
    open_mm: float
    source: str


STOCK_SHOCKS = tuple(
    StockShock(closed_in * _INCH_MM, open_in * _INCH_MM, "from memory, about half the open length and 2 1/4 in closed")
    for closed_in, open_in in (
        (8.25, 12.0), (9.0, 13.5), (10.0, 15.5), (11.0, 17.5), (12.0, 19.5), (13.0, 21.5), (14.0, 23.5), (15.0, 25.5),
        (16.0, 27.5), (17.25, 30.0), (18.5, 32.5),
    )
)  # fmt: skip
"""From short to long, every row from memory: what is sold differs, so the part itself is measured before it counts."""


def shortest_closed_mm(open_mm: float) -> float:
    """How long a shock of so much open is closed at the least, mm: half of that and 2 1/4 in, from memory.

    Its body holds the whole rod, and piston, seal and both eyes besides.

    >>> round(shortest_closed_mm(508.0), 2)
    311.15
    """
    return open_mm / 2.0 + 2.25 * _INCH_MM


class StockTube(NamedTuple):
    """A tube that suppliers of shafts keep: its material by the name in `MATERIALS`, its sizes, and their source."""

    material: str
    outer_mm: float
    wall_mm: float
    source: str


STOCK_TUBES = tuple(
    StockTube(material, outer_in * _INCH_MM, wall_in * _INCH_MM, source)
    for material, outer_in, wall_in, source in (
        ("steel", 2.5, 0.083, _MEMORY),
        ("steel", 2.5, 0.095, _MEMORY),
        ("steel", 3.0, 0.083, _MEMORY),
        ("steel", 3.0, 0.120, _MEMORY),
        ("steel", 3.5, 0.083, _MEMORY),
        ("steel", 3.5, 0.095, _MEMORY),
        ("steel", 4.0, 0.083, _MEMORY),
        ("steel", 4.0, 0.134, _MEMORY),
        ("steel", 4.095, 0.180, _MEMORY),
        ("steel", 4.5, 0.134, _MEMORY),
        ("aluminium", 3.0, 0.125, _MEMORY),
        ("aluminium", 3.5, 0.125, _MEMORY),
        ("aluminium", 4.0, 0.125, _MEMORY),
        ("aluminium", 5.0, 0.125, _MEMORY),
    )
)
"""Each material from thin to thick; what a supplier keeps differs, so a person's own list comes first."""
