"""The measured vehicle and powertrain, as sections of the build document."""

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geometry.document.quantity import Section, SidePoint, SpacePoint, angle, if_empty, length, point, quantity
from geometry.document.shaft_ends import Mate

Ratio = Annotated[float, Field(gt=0.05, le=30.0)]


class Display(Section):
    """The units that the screen shows; the document itself is always in millimetres and newton metres."""

    length: Literal["inch", "millimetre"] = Field(
        default="inch",
        title="Lengths",
        description="How lengths are shown and typed; weights, road speeds, spring rates and stresses follow.",
    )
    torque: Literal["pound_foot", "newton_metre"] = Field(
        default="pound_foot", title="Torques", description="How torques are shown and typed."
    )
    inches: Literal["sixteenths"] | None = Field(
        default=None,
        title="Inches",
        description="Whether inches show as sixteenths, as a tape reads; left out they show as decimals.",
    )


class Gauge(Section):
    """How finely the person's own gauge and tape can tell."""

    angle_uncertainty_deg: float | None = quantity(
        "Angle gauge, give or take",
        "deg",
        "Read one surface five times, lifting the gauge between; half the spread is this value.",
        low=0.0,
        high=5.0,
    )
    zero_uncertainty_deg: float | None = quantity(
        "Gauge's zero, give or take",
        "deg",
        "How far off the gauge's zero may be, the same in all its readings: turn it end for end on one surface; half of what the two readings lack to cancel. "
        "Left empty, it counts as zeroed.",
        low=0.0,
        high=5.0,
    )
    tape_uncertainty_mm: float | None = quantity(
        "Tape, give or take", "mm", "Half the spread when you measure one distance five times over.", low=0.0, high=50.0
    )


class Readings(Section):
    """What was read directly off a straight stick held between the yokes, and off the perch seats."""

    shaft_slope_deg: float | None = angle(
        "Shaft slope",
        "Gauge on the shaft, or on a straight stick held between the yokes. Positive when the rear end is lower.",
    )
    seat_slope_deg: float | None = angle(
        "Spring seat slope",
        "Gauge along the flat of the spring perch, front to rear. Positive when its rear end is lower.",
    )
    shaft_length_mm: float | None = length(
        "Shaft length, joint to joint",
        "Tape from the centre of the front joint's cross to the centre of the rear one, at ride height.",
        high=6_000.0,
    )


class Vehicle(Section):
    """The vehicle as it sits at ride height on a level floor."""

    wheelbase_mm: float | None = length(
        "Wheelbase", "Tape from the front hub's centre to the rear hub's, along the floor.", high=15_000.0
    )
    front_tyre_radius_mm: float | None = length(
        "Front tyre radius, loaded", "Floor to the front hub's centre, vehicle on its tyres.", high=1_500.0
    )
    rear_tyre_radius_mm: float | None = length(
        "Rear tyre radius, loaded", "Floor to the rear hub's centre, vehicle on its tyres.", high=1_500.0
    )
    tyre_turns_per_km: float | None = quantity(
        "Tyre turns on the road",
        "1/km",
        "Turns of the driven tyre over a mile or a kilometre, from its maker, or counted: for speeds, as the loaded radius tells them 2 to 4 % too fast. "
        "Torque keeps the loaded radius.",
        above=50.0,
        high=2_000.0,
    )
    other_axle_rate_n_per_mm: float | None = quantity(
        "Rate of the other axle's spring",
        "N/mm",
        "One spring of the axle that is not driven, at the wheel: how far a load there tips the frame.",
        above=0.0,
        high=2_000.0,
    )
    frame_slope_deg: float | None = angle(
        "Frame rail slope",
        "Gauge on a straight stretch of the frame rail. Positive when the rail falls toward the rear.",
        most=20.0,
    )
    frame_height_mm: float | None = length(
        "Frame rail height", "Floor to the underside of the rail, beside the transmission mount.", high=3_000.0
    )
    frame_depth_mm: float | None = length(
        "Frame rail depth", "Underside to top of the rail; used for the drawing.", high=600.0
    )
    rear_axle_load_kg: float | None = quantity(
        "Load on the driven axle",
        "kg",
        "Scale reading under the driven axle's two wheels, laden as the vehicle is used.",
        above=0.0,
        high=40_000.0,
    )
    tyre_grip: float | None = quantity(
        "Tyre grip",
        "",
        "Grip on the surface where most torque is used: about 0.8 on dry road, up to 1.2 on sticky tyres.",
        above=0.0,
        high=3.0,
    )
    mass_centre_height_mm: float | None = length(
        "Centre of gravity height",
        "Floor to the vehicle's centre of gravity, laden as it is used: from the axle scales with one end raised, or from the vehicle's own figures. "
        "Left empty, what wants it stays unknown.",
        high=3_000.0,
    )
    cruise_speed_kmh: float | None = quantity(
        "Cruising speed", "km/h", "The speed held for hours.", above=0.0, high=400.0
    )
    top_speed_kmh: float | None = quantity(
        "Top speed", "km/h", "The highest speed that it will ever be driven at.", above=0.0, high=500.0
    )


class Powertrain(Section):
    """Engine, gearbox and transfer case as one body on two lines of mounts."""

    output_joint_mm: SpacePoint | None = point(
        "Joint at the output",
        "Centre of the cross at the gearbox or transfer case: rearward of the front axle, right of the centreline, up from the floor.",
    )
    slope_deg: float | None = angle(
        "Output slope",
        "Gauge on a machined face square to the output shaft, or along the output itself. Positive when the tail hangs down.",
    )
    plan_deg: float | None = angle(
        "Output, seen from above",
        f"How far the output line points to the vehicle's right toward the rear, seen from above. {if_empty(0)}",
    )
    front_mount_mm: SidePoint | None = point(
        "Front mounts", "Where the engine mounts carry the engine: rearward of the front axle, up from the floor."
    )
    rear_mount_mm: SidePoint | None = point(
        "Rear mount", "Where the gearbox mount sits on its crossmember: rearward of the front axle, up from the floor."
    )
    peak_torque_nm: float | None = quantity(
        "Engine peak torque", "N·m", "At the flywheel, from the engine's own figures.", above=0.0, high=10_000.0
    )
    redline_rpm: float | None = quantity(
        "Highest engine speed", "rpm", "Where the limiter or the driver stops.", above=0.0, high=20_000.0
    )
    gear_ratios: Annotated[tuple[Ratio, ...], Field(max_length=30, fail_fast=True)] | None = quantity(
        "Gear ratios, first to top", "", "Gearbox ratios from first to top, without the axle, e.g. 3.0, 1.6, 1.0."
    )
    low_range: Ratio | None = quantity(
        "Low range",
        "",
        f"The transfer case's low ratio, 1 where there is none. {if_empty(1)}",
    )
    converter_ratio: Ratio | None = quantity(
        "Converter stall ratio",
        "",
        f"Torque multiplication at stall, about 2 for a converter, 1 for a clutch. {if_empty(1)}",
    )
    shock_factor: float | None = quantity(
        "Launch shock factor",
        "",
        "How much a rough clutch or a dropped throttle multiplies the launch torque: 1 for a gentle start; left empty, 1.5 is taken (common practice), and the findings say so.",
        low=1.0,
        high=5.0,
    )
    efficiency: float | None = quantity(
        "Gearbox efficiency",
        "",
        "Share of the torque that comes through; left empty, no loss is counted.",
        above=0.0,
        high=1.0,
    )
    cruise_torque_share: float | None = quantity(
        "Share of peak torque at cruise",
        "",
        "How much of the engine's peak torque holds the cruising speed; left empty, 0.3 is taken, the findings say so, and anything from 0.1 to 0.6 is looked at.",
        above=0.0,
        high=1.0,
    )
    engine_length_mm: float | None = length(
        "Engine length", "Fan to bell housing; used for the drawing and for clearance.", high=4_000.0
    )
    engine_height_mm: float | None = length(
        "Engine height", "Sump to the highest part; used for the drawing and for clearance.", high=3_000.0
    )
    gearbox_length_mm: float | None = length(
        "Gearbox length", "Bell housing to the output joint; used for the drawing and for clearance.", high=4_000.0
    )
    gearbox_height_mm: float | None = length(
        "Gearbox height", "Top to bottom of the case; used for the drawing and for clearance.", high=2_000.0
    )
    rock_deg: float | None = quantity(
        "Engine rock on its mounts",
        "deg",
        "How far launch torque rolls the engine on its mounts about its crankshaft: gauge across the rocker covers, a helper loading it against the brakes. "
        "Ahead its left side rises, in reverse its right: both are looked at. Left empty, anything from 0 to 3° is.",
        low=0.0,
        high=20.0,
    )
    crank_mm: SpacePoint | None = point(
        "Crankshaft's centre",
        "Centre of the bolt in the crankshaft's pulley. Left empty, the crankshaft is taken to lie in line with the output where there is no low range.",
    )
    output_end: Mate | None = Field(default=None, title="On the gearbox's output")

    @model_validator(mode="after")
    def _orderly(self) -> Self:
        if self.gear_ratios is not None:
            if not self.gear_ratios:
                raise ValueError("gear_ratios: give at least one ratio, or leave the entry out")
            if any(later >= earlier for earlier, later in pairwise(self.gear_ratios)):
                raise ValueError("gear_ratios: give them from first to top, each smaller than the one before")
        front, rear = self.front_mount_mm, self.rear_mount_mm
        if front is not None and rear is not None and rear[0] <= front[0]:
            raise ValueError("rear_mount_mm: must lie behind front_mount_mm; its first number must be the larger one")
        return self
