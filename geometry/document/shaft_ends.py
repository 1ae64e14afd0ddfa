"""Both halves of each end of the shaft: what is on the shaft there, and what it goes to at gearbox and pinion."""

from typing import Literal

from pydantic import Field

from geometry.document.quantity import Section, count, length

Series = Literal["1310", "1330", "1350", "1410", "1480", "1550", "1610", "1710", "1810"]
"""Trade sizes of a joint's cross, by their usual numbers."""


class Caps(Section):
    """The caps of a joint's cross."""

    cap_mm: float | None = length(
        "Cap diameter", "Caliper over a cap of the cross, or across a yoke's seat for it.", high=120.0
    )
    span_mm: float | None = length(
        "Span over caps",
        "Caliper from the end of one cap to the end of the opposite one; in a yoke between the stops for them.",
        high=400.0,
    )
    clip: Literal["outside", "inside"] | None = Field(
        default=None,
        title="Place of the clips",
        description="Outside: a ring at the outer end of each cap. Inside: a ring in the cap's groove on the inner side of the yoke's ear.",
    )


class Face(Caps):
    """The sizes of one half of a connection; which of them count hangs on its type."""

    pilot_mm: float | None = length(
        "Pilot diameter", "Caliper over the round shoulder of the flange, or across the recess for it.", high=400.0
    )
    pilot: Literal["male", "female"] | None = Field(
        default=None, title="Kind of pilot", description="Male: a shoulder stands out. Female: a recess takes one."
    )
    bolt_circle_mm: float | None = length(
        "Bolt circle",
        "Diameter of the circle through the bolts' centres: with four, tape from a hole to the opposite one, same edge to same edge.",
        high=500.0,
    )
    bolts: float | None = count("Number of bolts", "Bolts, or holes for them, in the flange.", low=2.0, high=24.0)
    bolt_mm: float | None = length(
        "Bolt size", "Diameter of the bolts by caliper over the thread; of holes the bolt that they take.", high=50.0
    )
    thread: Literal["fine", "coarse"] | None = Field(
        default=None, title="Thread of the bolts", description="Fine or coarse, by a thread gauge or a known nut."
    )
    spline_teeth: float | None = count("Spline teeth", "Count them all round.", low=4.0, high=100.0)
    spline_diameter_mm: float | None = length(
        "Spline diameter", "Caliper over the teeth of the output, or across the grooves of the yoke.", high=200.0
    )
    seal_mm: float | None = length(
        "Seal diameter",
        "Caliper over the slip yoke's barrel, or across the lip of the tail housing's seal.",
        high=200.0,
    )


class ShaftEnd(Face):
    """What is on one end of the shaft."""

    type: Literal["flange", "caps", "spline"] | None = Field(
        default=None,
        title="Type",
        description="Flange: a yoke with a flange that bolts to another. Caps: two bare caps of the cross. Spline: a slip yoke, on the gearbox's output.",
    )
    other_series: Series | None = Field(
        default=None,
        title="Series of the other caps",
        description="Only where the cross has two sizes: trade size of the pair of caps that goes to gearbox or pinion. Left empty, it is the joint's own.",
    )
    barrel_mm: float | None = length(
        "Barrel length", "Length of the slip yoke's smooth barrel, which slides in the tail housing's seal.", high=500.0
    )


class Mate(Face):
    """What is on the gearbox's output or on the pinion, for the shaft to go to."""

    type: Literal["flange", "straps", "u_bolts", "clips", "spline"] | None = Field(
        default=None,
        title="Type",
        description="A flange; a yoke that holds two caps by straps, by U-bolts, or in whole ears by clips; or the bare spline of the gearbox's output.",
    )
    series: Series | None = Field(
        default=None,
        title="Series of the yoke",
        description="Trade size of the cross that the yoke takes. Left empty, no size is taken: measure its seats.",
    )


class Wishes(Section):
    """What the shaft's builder asks besides all sizes; nothing of it is judged."""

    on_road: bool | None = Field(default=None, title="Driven on the road", description="Ticked on the shaft order.")
    tows: bool | None = Field(default=None, title="Tows", description="Ticked on the shaft order.")
    rough: bool | None = Field(
        default=None, title="Driven on rough ground", description="Mud, water or rock: ticked on the shaft order."
    )
    grease: Literal["fittings", "sealed"] | None = Field(
        default=None,
        title="Grease",
        description="Joints and slip with grease fittings, or sealed for life. Ticked on the shaft order.",
    )
    paint: Literal["tube_only", "bare"] | None = Field(
        default=None,
        title="Paint",
        description="Paint on the tube alone, never on the slip's spline; or none. Ticked on the shaft order.",
    )
    old_shaft: bool | None = Field(
        default=None,
        title="Old shaft comes along",
        description="The builder measures from it. Ticked on the shaft order.",
    )
    yokes: bool | None = Field(
        default=None,
        title="Yokes come along",
        description="The yokes or flanges that the shaft goes to are brought. Ticked on the shaft order.",
    )
    face_to_face_mm: float | None = length(
        "Face to face",
        "Tape from the face of the gearbox's flange to the pinion's, axle at ride height: printed on the shaft order as a second check.",
        high=10_000.0,
    )
