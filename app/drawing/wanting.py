"""What to measure next, for the drawing."""

from __future__ import annotations

from geometry.document import Build, value_at

_WANTED: tuple[tuple[str, str, str], ...] = (
    ("powertrain", "slope_deg", "the output's slope, gauge on the output flange"),
    ("axle", "pinion_slope_deg", "the pinion's slope, gauge on the pinion flange"),
    ("powertrain", "output_joint_mm", "where the joint at the output is: back, across, up from the floor"),
    ("axle", "centre_mm", "where the axle's centre is: back, across, up from the floor"),
    ("axle", "pinion_length_mm", "the pinion's length, axle tube to joint"),
)
_NICE: tuple[tuple[str, str, str], ...] = (
    ("vehicle", "rear_tyre_radius_mm", "the tyre's loaded radius, floor to hub"),
    ("vehicle", "wheelbase_mm", "the wheelbase, hub to hub"),
    ("axle", "tube_diameter_mm", "the axle tube's diameter"),
    ("vehicle", "frame_slope_deg", "the frame rail's slope"),
)


_PLACES: tuple[tuple[str, str], ...] = (
    ("powertrain.output_joint_mm", "where the joint at the output is: back, across, up from the floor"),
    ("shaft.bearing_mm", "where the support bearing is: back, across, up from the floor"),
    ("axle.centre_mm", "where the axle's centre is: back, across, up from the floor"),
    ("axle.pinion_slope_deg", "the pinion's slope, gauge on the pinion flange"),
    ("axle.pinion_length_mm", "the pinion's length, axle tube to joint"),
)
"""What a drawing to scale cannot do without; the first three are places of the shaft."""


def beginning(build: Build) -> tuple[str, tuple[str, ...]]:
    """What would begin a drawing of which nothing can be drawn yet: a heading, and the measurements, one a line.

    A stick's slope is enough; once a place of the shaft is entered, all of them are wanted.

    >>> beginning(Build())
    ('The drawing begins with', ("the shaft's slope, gauge on a stick held between the yokes",))
    """
    two = value_at(build, "shaft.kind") == "two_piece"
    places = [one for one in _PLACES if two or one[0] != "shaft.bearing_mm"]
    missing = tuple(words for path, words in places if value_at(build, path) is None)
    if missing and any(value_at(build, path) is not None for path, _ in _PLACES[:3]):
        return "The drawing still wants", missing
    return "The drawing begins with", ("the shaft's slope, gauge on a stick held between the yokes",)


def next_measurement(build: Build) -> str:
    """What to measure next for the drawing, or nothing where it is whole."""
    missing = _first_missing(build, _WANTED)
    readings = build.readings
    if missing and readings is None and build.powertrain and build.axle:
        missing = missing if "slope" in missing else f"a stick's slope and length between the yokes, or {missing}"
    if not missing and (build.shaft is None or "tube" not in _tube_known(build)):
        missing = "the shaft tube's outside diameter"
    missing = missing or _first_missing(build, _NICE)
    if not missing and build.suspension is None:
        missing = "the springs' eyes, or the links' bolts"
    return missing


def _tube_known(build: Build) -> str:
    shaft = build.shaft
    tube = getattr(shaft, "tube", None) or getattr(shaft, "rear_tube", None)
    return "tube" if tube is not None and tube.outer_diameter_mm is not None else ""


def _first_missing(build: Build, wanted: tuple[tuple[str, str, str], ...]) -> str:
    for section, entry, words in wanted:
        if getattr(getattr(build, section), entry, None) is None:
            return words
    return ""
