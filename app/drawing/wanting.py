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

    A stick's slope is enough; once a place of the shaft is entered, all of them are wanted.

    >>> beginning(Build())
    ('The drawing begins with', ("the shaft's slope, gauge on a stick held between the yokes",))
    """
    two = value_at(build, "shaft.kind") == "two_piece"
    places = [one for one in _PLACES if two or one[0] != "shaft.bearing_mm"]
    missing = tuple(words for path, words in places if value_at(build, path) is None)
    if missing and begun(build):
        return "The drawing still wants", missing
    return "The drawing begins with", ("the shaft's slope, gauge on a stick held between the yokes",)
