"""The axle as it is set up and welded: its perches, the clamp of its springs, and whether it sits square and straight."""

from typing import Literal

from pydantic import Field

from geometry.document.quantity import Section, angle, length, quantity


class Perches(Section):
    """Where the two spring perches sit, how they lie, and how they are to be welded."""

    seat_left_deg: float | None = angle(
        "Left seat slope",
        "Gauge along the flat of the left perch, front to rear. Positive when its rear end is lower.",
    )
    seat_right_deg: float | None = angle(
        "Right seat slope",
        "Gauge along the flat of the right perch, front to rear. Positive when its rear end is lower.",
    )
    measured_from: Literal["wheel_flange", "housing_flange"] | None = Field(
        default=None,
        title="Distances are from",
        description="From which flange both perches are measured, the same on both sides: the wheel flange's inner face, "
        "or the housing's end flange where a drum hides that.",
    )
    flange_to_flange_mm: float | None = length(
        "Flange to flange",
        "Across the vehicle between the two flanges that the perches are measured from.",
        high=4_000.0,
    )
    springs_apart_mm: float | None = length(
        "Springs apart",
        "Centre to centre of the two springs, across the vehicle, at their eyes on the frame.",
        high=3_000.0,
    )
    casting_gap_mm: float | None = length(
        "Perch to casting",
        "From the edge of the nearer perch to the casting in the axle's middle, along the tube; 0 where a perch meets it.",
        high=1_000.0,
        low=0.0,
    )
    first_weld: Literal["front", "rear"] | None = Field(
        default=None,
        title="Edge welded first",
        description="Which long edge of each perch is welded first: the seat is pulled that way. Left empty, no pull is reckoned with.",
    )
    weld_pull_deg: float | None = quantity(
        "Pull of the weld",
        "deg",
        "How far the seat was pulled toward the edge welded first when a trial piece was welded. "
        "Left empty, 0.25° is taken once that edge is named (common practice).",
        low=0.0,
        high=5.0,
    )


class Clamp(Section):
    """What the U-bolts hold together at each spring, and what of it is bought."""

    spring_width_mm: float | None = length(
        "Spring width", "Caliper across the main leaf, beside the clamp.", high=300.0
    )
    pack_height_mm: float | None = length(
        "Spring pack height", "All leaves at the centre bolt, with the liners between them.", high=400.0
    )
    perch_height_mm: float | None = length(
        "Perch height", "From the tube's surface to the flat of the perch, at its centre hole.", high=400.0, low=0.0
    )
    block_mm: float | None = length(
        "Block that is there", "Between spring and perch now, 0 for none; what the plan adds counts besides.",
        high=500.0, low=0.0,
    )  # fmt: skip
    wedge_mm: float | None = length(
        "Wedge at its middle",
        "Thickness of the wedge at its centre hole, as it will be; 0 for none.",
        high=100.0,
        low=0.0,
    )
    plate_mm: float | None = length(
        "Spring plate", "Thickness of the plate that the U-bolts go through, at their holes.", high=100.0
    )
    bend: Literal["round", "square"] | None = Field(
        default=None,
        title="U-bolts are bent",
        description="Round about the axle tube, or square over the spring. Left empty, round.",
    )
    rod_mm: float | None = length("U-bolt diameter", "Caliper across its thread.", high=60.0)
    leg_mm: float | None = length(
        "Leg of the U-bolts at hand", "From the inside of the bend to the end of a leg.", high=1_500.0
    )
    pin_mm: float | None = length("Centre pin diameter", "Caliper across its thread.", high=40.0)


def _across(when: str, where: str) -> str:
    at = "in front of" if where == "front" else "behind"
    return (
        f"Across the vehicle {at} the axle, {when}, between two straight bars held to the flanges, level with the axle."
    )


def _leaning(side: str, when: str) -> str:
    return f"Gauge upright on the face of the {side} flange, {when}. Positive when its top leans out, away from the vehicle."


class AxleSquare(Section):
    """Whether the axle stands square under its frame and in its middle, and whether its tube is straight."""

    wheelbase_left_mm: float | None = length(
        "Wheelbase, left", "Front hub's centre to rear hub's, on the left, wheels straight ahead.", high=15_000.0
    )
    wheelbase_right_mm: float | None = length(
        "Wheelbase, right", "Front hub's centre to rear hub's, on the right, wheels straight ahead.", high=15_000.0
    )
    holes_apart_mm: float | None = length(
        "Frame holes apart",
        "Two holes that the frame has in the same place left and right, centre to centre across: ahead of a rear axle, behind a front axle.",
        high=4_000.0,
    )  # fmt: skip
    ends_apart_mm: float | None = length(
        "Axle points apart", "Two points in the same place left and right on the axle, far out, across.", high=4_000.0
    )
    diagonal_left_mm: float | None = length(
        "Diagonal from the left hole", "Tape from the left frame hole to the right point on the axle.", high=15_000.0
    )
    diagonal_right_mm: float | None = length(
        "Diagonal from the right hole", "Tape from the right frame hole to the left point on the axle.", high=15_000.0
    )
    holes_above_mm: float | None = quantity(
        "Holes above the points",
        "mm",
        "How much higher the frame holes are than the points on the axle, 0 where level. Positive when they are higher.",
        low=-2_000.0,
        high=2_000.0,
    )
    offset_left_mm: float | None = length(
        "Frame to flange, left", "Level, across, from the outside of the left rail to the left flange.", high=2_000.0
    )
    offset_right_mm: float | None = length(
        "Frame to flange, right", "Level, across, from the outside of the right rail to the right flange.", high=2_000.0
    )
    toe_over_mm: float | None = length(
        "Toe taken over", "How far apart, front to rear, the two places are where the tape goes across.", high=3_000.0
    )
    toe_front_before_mm: float | None = length(
        "Tape across in front, before", _across("before welding", "front"), high=5_000.0
    )
    toe_rear_before_mm: float | None = length(
        "Tape across behind, before", _across("before welding", "rear"), high=5_000.0
    )
    toe_front_after_mm: float | None = length(
        "Tape across in front, welded", _across("welded and cold", "front"), high=5_000.0
    )
    toe_rear_after_mm: float | None = length(
        "Tape across behind, welded", _across("welded and cold", "rear"), high=5_000.0
    )
    camber_left_before_deg: float | None = angle("Left camber, before", _leaning("left", "before welding"), most=20.0)
    camber_right_before_deg: float | None = angle(
        "Right camber, before", _leaning("right", "before welding"), most=20.0
    )
    camber_left_after_deg: float | None = angle("Left camber, welded", _leaning("left", "welded and cold"), most=20.0)
    camber_right_after_deg: float | None = angle(
        "Right camber, welded", _leaning("right", "welded and cold"), most=20.0
    )
