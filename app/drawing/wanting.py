"""What would begin a drawing of which nothing can be drawn yet."""

from __future__ import annotations

from geometry.document import Build, value_at

_PLACES: tuple[tuple[str, str], ...] = (
    ("powertrain.output_joint_mm", "where the joint at the output is: back, across, up from the floor"),
    ("shaft.bearing_mm", "where the support bearing is: back, across, up from the floor"),
    ("axle.centre_mm", "where the axle's centre is: back, across, up from the floor"),
    ("axle.pinion_slope_deg", "the pinion's slope, gauge on the pinion flange"),
    ("axle.pinion_length_mm", "the pinion's length, axle tube to joint"),
)
"""What a drawing to scale cannot do without; the first three are places of the shaft."""


def begun(build: Build) -> bool:
    """Whether any place of the shaft is entered."""
    return any(value_at(build, path) is not None for path, _ in _PLACES[:3])


def beginning(build: Build) -> tuple[str, tuple[str, ...]]:
    """What would begin a drawing of which nothing can be drawn yet: a heading, and the measurements, one a line.

    A stick's slope is enough; once a place of the shaft is entered, all of them are wanted, and so they are, with what
    the axle hangs on, once a plan takes the shaft from where the stick told of it.

    >>> beginning(Build())
    ('The drawing begins with', ("the shaft's slope, gauge on a stick held between the yokes",))
    """
    two = value_at(build, "shaft.kind") == "two_piece"
    places = [one for one in _PLACES if two or one[0] != "shaft.bearing_mm"]
    missing = tuple(words for path, words in places if value_at(build, path) is None)
    if missing and begun(build):
        return "The drawing still wants", missing
    hangs = () if value_at(build, "suspension") is not None else ("the springs or the links that the axle hangs on",)
    if (missing or hangs) and value_at(build, "readings.shaft_slope_deg") is not None:
        return "With this plan the drawing wants", (*missing, *hangs)
    return "The drawing begins with", ("the shaft's slope, gauge on a stick held between the yokes",)
