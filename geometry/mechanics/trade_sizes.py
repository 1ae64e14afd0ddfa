"""Sizes of universal joints by the series that the trade calls them by; data, each row with its source.

Greatest angles are not among them: those depend on the yoke, so they are entered from the part.
"""

from math import hypot
from typing import NamedTuple

_INCH_MM = 25.4
_MEMORY = "from memory: measure the part"


class JointSeries(NamedTuple):
    """A series of joint: its trade name, cap diameter, span over opposite caps, and where the sizes come from."""

    name: str
    cap_mm: float
    span_mm: float
    source: str


JOINT_SERIES = tuple(
    JointSeries(name, cap_in * _INCH_MM, span_in * _INCH_MM, source)
    for name, cap_in, span_in, source in (
        ("1310", 1.062, 3.219, _MEMORY),
        ("1330", 1.062, 3.625, _MEMORY),
        ("1350", 1.188, 3.625, _MEMORY),
        ("1410", 1.188, 4.188, _MEMORY),
        ("1480", 1.375, 4.188, _MEMORY),
        ("1550", 1.375, 4.969, _MEMORY),
        ("1610", 1.875, 5.313, _MEMORY),
        ("1710", 1.938, 6.094, _MEMORY),
        ("1810", 1.938, 7.547, _MEMORY),
    )
)
"""From the lightest to the heaviest."""


def least_swing_mm(series: JointSeries) -> float:
    """Diameter that a joint sweeps at the least, mm: the circle of its caps' outer corners, sqrt(span² + cap²).

    The yoke's ears may stand out farther; where their swing was measured, that counts.

    Source: geometry of the cross.

    >>> round(least_swing_mm(JointSeries("by hand", 30.0, 40.0, "a 3-4-5 triangle")), 9)
    50.0
    """
    return hypot(series.span_mm, series.cap_mm)
