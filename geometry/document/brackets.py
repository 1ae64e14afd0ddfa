"""What is bolted or welded round the driveline, and the plan of changes, as sections of the build document."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geometry.document.quantity import Section, SidePoint, SpacePoint, angle, length, point, quantity

Name = Annotated[str, Field(min_length=1, max_length=80)]


class Shock(Section):
    """One shock absorber."""

    name: Name = Field(default="shock", title="Name")
    axle_point_mm: SpacePoint | None = point("Lower eye", "Bolt centre at the axle, at ride height.")
    frame_point_mm: SpacePoint | None = point("Upper eye", "Bolt centre at the frame.")
    compressed_mm: float | None = length("Length compressed", "Eye to eye, pushed right in.", high=2_000.0)
    extended_mm: float | None = length("Length extended", "Eye to eye, pulled right out.", high=3_000.0)

    @model_validator(mode="after")
    def _longer(self) -> Self:
        if self.compressed_mm is not None and self.extended_mm is not None and self.extended_mm <= self.compressed_mm:
            raise ValueError("extended_mm: must be more than compressed_mm")
        return self


class TorqueBar(Section):
    """One bar that keeps the axle from winding up."""

    name: Name = Field(default="torque bar", title="Name")
    frame_point_mm: SpacePoint | None = point("Frame end", "Bolt centre at the frame.")
    axle_point_mm: SpacePoint | None = point("Axle end", "Bolt centre at the axle, at ride height.")
    float_mm: float | None = length(
        "Float", "How far the front end may swing or slide on its shackle.", high=500.0, low=0.0
    )


class LateralLink(Section):
    """The link that holds the axle sideways."""

    frame_point_mm: SpacePoint | None = point("Frame end", "Bolt centre at the frame.")
    axle_point_mm: SpacePoint | None = point("Axle end", "Bolt centre at the axle, at ride height.")


class Obstacle(Section):
    """Something that the shaft or the powertrain could touch, drawn as an outline."""

    name: Name = Field(default="obstacle", title="Name")
    view: Literal["side", "top"] = Field(default="side", title="Seen from", description="Side: x and z. Top: x and y.")
    outline_mm: Annotated[tuple[SidePoint, ...], Field(min_length=3, max_length=400)] = Field(
        title="Outline", description="Corners in order, at least three.", json_schema_extra={"unit": "mm"}
    )
    gap_mm: float | None = length(
        "Gap wanted", "The least air that you want between it and anything that moves.", high=500.0, low=0.0
    )


class Plan(Section):
    """What is to be changed; the measured sections never change by it."""

    rear_lift_mm: float | None = quantity(
        "Rear lift", "mm", "How much higher the frame is to sit over the rear axle.", low=-500.0, high=1_000.0
    )
    rear_lift_by: Literal["spring", "block", "shackle"] = Field(
        default="spring",
        title="Rear lift by",
        description="More arch in the spring, a block on the axle, or a longer shackle.",
    )
    front_lift_mm: float | None = quantity(
        "Front lift", "mm", "How much higher the frame is to sit over the front axle.", low=-500.0, high=1_000.0
    )
    front_lift_by: Literal["spring", "block", "shackle"] = Field(
        default="spring",
        title="Front lift by",
        description="More arch in the spring, a block on the axle, or a longer shackle.",
    )
    axle_shim_deg: float | None = angle(
        "Wedge at the perches",
        "Angle of the wedge between spring and perch. Positive raises the pinion's nose.",
        most=30.0,
    )
    mount_shim_mm: float | None = quantity(
        "Shim under the rear mount", "mm", "Positive lifts the gearbox's tail.", low=-300.0, high=300.0
    )
