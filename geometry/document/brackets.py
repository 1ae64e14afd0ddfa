"""What is bolted or welded round the driveline, and the plan of changes, as sections of the build document."""

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from geometry.document.quantity import Section, SidePoint, SpacePoint, angle, length, point, quantity
from geometry.document.text import cleaned_line

Name = Annotated[str, Field(min_length=1, max_length=80), BeforeValidator(cleaned_line)]
_NAME_HELP = "What you call it; the findings call it so too."


def _longer_open(compressed_mm: float | None, extended_mm: float | None) -> None:
    """Refuse a shock that is no longer pulled out than pushed in."""
    if compressed_mm is not None and extended_mm is not None and extended_mm <= compressed_mm:
        raise ValueError("extended_mm: must be more than compressed_mm")


class Shock(Section):
    """One shock absorber."""

    name: Name = Field(default="shock", title="Name", description=_NAME_HELP)
    axle_point_mm: SpacePoint | None = point("Lower eye", "Bolt centre at the axle, at ride height.")
    frame_point_mm: SpacePoint | None = point("Upper eye", "Bolt centre at the frame.")
    compressed_mm: float | None = length("Length compressed", "Eye to eye, pushed right in.", high=2_000.0)
    extended_mm: float | None = length("Length extended", "Eye to eye, pulled right out.", high=3_000.0)

    @model_validator(mode="after")
    def _longer(self) -> Self:
        _longer_open(self.compressed_mm, self.extended_mm)
        return self


class StockedShock(Section):
    """One length of shock that is in hand or can be had."""

    name: Name = Field(default="shock", title="Name", description="What you call it: its number, or where it lies.")
    compressed_mm: float | None = length("In hand: compressed", "Eye to eye, pushed right in.", high=2_000.0)
    extended_mm: float | None = length("In hand: extended", "Eye to eye, pulled right out.", high=3_000.0)

    @model_validator(mode="after")
    def _longer(self) -> Self:
        _longer_open(self.compressed_mm, self.extended_mm)
        return self


class TorqueBar(Section):
    """One bar that keeps the axle from winding up."""

    name: Name = Field(default="torque bar", title="Name", description=_NAME_HELP)
    frame_point_mm: SpacePoint | None = point("Frame end", "Bolt centre at the frame.")
    axle_point_mm: SpacePoint | None = point("Axle end", "Bolt centre at the axle, at ride height.")
    float_mm: float | None = length(
        "Float",
        "How far the front end may swing or slide on its shackle, in all, from end to end; 0 where it cannot.",
        high=500.0,
        low=0.0,
    )


class LateralLink(Section):
    """The link that holds the axle sideways."""

    frame_point_mm: SpacePoint | None = point("Frame end", "Bolt centre at the frame.")
    axle_point_mm: SpacePoint | None = point("Axle end", "Bolt centre at the axle, at ride height.")
    drag_box_mm: SpacePoint | None = point(
        "Drag link at the steering box",
        "Front axle only, wheels straight ahead: centre of its ball at the steering box's arm. Left empty, bump steer is not judged.",
    )
    drag_axle_mm: SpacePoint | None = point(
        "Drag link at the axle",
        "Front axle only, wheels straight ahead: centre of its ball on the axle's steering. Left empty, bump steer is not judged.",
    )


class FlexibleLine(Section):
    """One hose, cable or wire from the frame to the driven axle."""

    name: Name = Field(default="brake hose", title="Name", description=_NAME_HELP)
    type: Literal["brake_hose", "vent_hose", "cable", "sensor_wire"] = Field(
        default="brake_hose", title="What it is", description="A torn brake hose leaves no brakes: it is told so."
    )
    frame_point_mm: SpacePoint | None = point("Line's fixed end", "Where it leaves its bracket on the frame.")
    axle_point_mm: SpacePoint | None = point(
        "Line's moving end",
        "Where it is held on the driven axle, at ride height. If that goes with a steered wheel, with the wheel at the lock that draws it farthest.",
    )
    free_length_mm: float | None = length(
        "Line's free length",
        "What it measures pulled straight, without strain, from where it leaves one end to where it is held at the other.",
        high=5_000.0,
    )
    slack_mm: float | None = length(
        "Slack wanted",
        "How much longer it is to be than the farthest its ends come apart. Left empty, an inch (25.4 mm), or a twentieth of that where it is more.",
        high=1_000.0,
        low=0.0,
    )


class Obstacle(Section):
    """Something that the shaft or the powertrain could touch, drawn as an outline."""

    name: Name = Field(default="obstacle", title="Name", description=_NAME_HELP)
    view: Literal["side", "top"] = Field(default="side", title="Seen from", description="Side: x and z. Top: x and y.")
    outline_mm: Annotated[tuple[SidePoint, ...], Field(min_length=3, max_length=400, fail_fast=True)] = Field(
        title="Outline", description="Corners in order, at least three.", json_schema_extra={"unit": "mm"}
    )
    gap_mm: float | None = length(
        "Gap wanted", "The least air that you want between it and anything that moves.", high=500.0, low=0.0
    )
    carried_by: Literal["frame", "axle", "engine"] = Field(
        default="frame",
        title="Carried by",
        description="What it is fixed to and moves with. Two that are fixed to different things, both seen from the side, are held against each other.",
    )
    left_mm: float | None = quantity(
        "Leftmost, sideways",
        "mm",
        "Of what the engine carries: its left side, right of the vehicle's centreline; less than nothing left of it. The engine's rock moves it by that.",
        low=-2_000.0,
        high=2_000.0,
    )
    right_mm: float | None = quantity(
        "Rightmost, sideways",
        "mm",
        "The same of its right side.",
        low=-2_000.0,
        high=2_000.0,
    )
    carries: Literal["fuel", "brakes"] | None = Field(
        default=None,
        title="Carries",
        description="Fuel or brake lines in it or along it: two inches (50.8 mm) of air are wanted to them. Left empty, neither.",
    )

    @model_validator(mode="after")
    def _orderly(self) -> Self:
        if self.carried_by != "frame" and self.view != "side":
            raise ValueError("carried_by: must be the frame for what is seen from above; draw it from the side instead")
        if self.left_mm is not None and self.right_mm is not None and self.right_mm < self.left_mm:
            raise ValueError("right_mm: must not be less than left_mm")
        return self


class Plan(Section):
    """What is to be changed; the measured sections never change by it."""

    rear_lift_mm: float | None = quantity(
        "Rear lift",
        "mm",
        "How much higher the frame is to sit over the rear axle. Positive when it goes up.",
        low=-500.0,
        high=1_000.0,
    )
    rear_lift_by: Literal["spring", "block", "shackle"] = Field(
        default="spring",
        title="Rear lift by",
        description="More arch in the spring, a block on the axle, or a longer shackle.",
    )
    front_lift_mm: float | None = quantity(
        "Front lift",
        "mm",
        "How much higher the frame is to sit over the front axle. Positive when it goes up.",
        low=-500.0,
        high=1_000.0,
    )
    front_lift_by: Literal["spring", "block", "shackle"] = Field(
        default="spring",
        title="Front lift by",
        description="More arch in the spring, a block on the axle, or a longer shackle.",
    )
    perches: Literal["welded", "loose"] = Field(
        default="welded",
        title="Perches are",
        description="Welded: a wedge turns the axle. Loose, not welded on yet: the axle is turned until the pinion has its slope, then they are welded.",
    )
    axle_shim_deg: float | None = angle(
        "Wedge at the perches",
        "Angle of the wedge between spring and welded perch. Positive when it raises the pinion's nose. Left empty, none.",
        most=30.0,
    )
    pinion_slope_deg: float | None = angle(
        "Pinion slope to weld at",
        "With loose perches: the slope to turn the pinion to, as the gauge reads it on the tyres, after the lift. "
        "Positive when the end toward the rear is lower. Left empty, the pinion is not turned. With welded perches it is kept and has no effect.",
    )
    mounts: Literal["fixed", "loose"] = Field(
        default="fixed",
        title="Mounts are",
        description="Fixed: a shim under the rear mount tilts engine and gearbox. Loose, not welded in yet: both can be tilted and shifted.",
    )
    mount_shim_mm: float | None = quantity(
        "Shim under the rear mount",
        "mm",
        "Thickness of the shim, with fixed mounts. Positive when it lifts the gearbox's tail. Left empty, none.",
        low=-300.0,
        high=300.0,
    )
    powertrain_slope_deg: float | None = angle(
        "Output slope to set",
        "With loose mounts: the output slope to set, as the gauge reads it on the tyres after the lift, with the engine turned about its front mounts. "
        "Positive when the tail hangs down. Left empty, the engine is not turned. With fixed mounts it is kept and has no effect.",
    )
    powertrain_shift_mm: SidePoint | None = point(
        "Engine and gearbox shift",
        "With loose mounts: how far engine and gearbox are shifted after that, rearward and up. Positive when they go rearward, and up. "
        "Left empty, not at all. With fixed mounts it is kept and has no effect.",
    )
    lateral_link_longer_mm: float | None = quantity(
        "Lateral link longer by",
        "mm",
        "How much longer than now the lateral link is to be made, bolt to bolt. Positive when longer, negative when shorter. Left empty, it stays as it is.",
        low=-300.0,
        high=300.0,
    )
    output_adapter_mm: float | None = length(
        "Adapter at the gearbox",
        "Thickness of a plate to be bolted between the output's flange and the shaft's, drilled for both; it moves the joint away from the gearbox by as much. Left empty, none.",
        high=200.0,
        low=0.0,
    )
    pinion_adapter_mm: float | None = length(
        "Adapter at the pinion",
        "Thickness of a plate to be bolted between the pinion's flange and the shaft's, drilled for both; it moves the joint away from the axle by as much. Left empty, none.",
        high=200.0,
        low=0.0,
    )

    @model_validator(mode="after")
    def _one_way_to_turn(self) -> Self:
        if self.perches == "loose" and self.axle_shim_deg:
            raise ValueError(
                "axle_shim_deg: must be 0 where the perches are loose; turn the pinion with pinion_slope_deg instead"
            )
        if self.mounts == "loose" and self.mount_shim_mm:
            raise ValueError(
                "mount_shim_mm: must be 0 where the mounts are loose; tilt the engine with powertrain_slope_deg instead"
            )
        return self
