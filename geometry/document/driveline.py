"""The second driveline of a four-wheel-drive vehicle: all that it does not share with the first, as a section."""

from copy import copy
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from geometry.document.again import ReadAgain
from geometry.document.brackets import FlexibleLine, LateralLink, Obstacle, Plan, Shock, TorqueBar
from geometry.document.perches import AxleSquare, Clamp, Perches
from geometry.document.quantity import Section, SpacePoint
from geometry.document.running_gear import Axle, Shaft, Suspension
from geometry.document.shaft_ends import Mate, Wishes
from geometry.document.state import State
from geometry.document.vehicle import Powertrain, Readings, Vehicle


def _same(section: type[Section], name: str) -> Any:
    """Declare an entry just as another section has it: title, unit, help and range."""
    return copy(section.model_fields[name])


class Output(Section):
    """What of engine and gearbox is this driveline's own: its output."""

    output_joint_mm: SpacePoint | None = _same(Powertrain, "output_joint_mm")
    slope_deg: float | None = _same(Powertrain, "slope_deg")
    plan_deg: float | None = _same(Powertrain, "plan_deg")
    output_end: Mate | None = _same(Powertrain, "output_end")


class Wheels(Section):
    """What of the vehicle, and of how it was loaded, is this driveline's own: what is told of its axle alone."""

    tyre_turns_per_km: float | None = _same(Vehicle, "tyre_turns_per_km")
    rear_axle_load_kg: float | None = _same(Vehicle, "rear_axle_load_kg")
    other_axle_rate_n_per_mm: float | None = _same(Vehicle, "other_axle_rate_n_per_mm")
    taped_load_kg: float | None = _same(State, "taped_load_kg")


class OwnPlan(Section):
    """What of the plan is this driveline's own; lifts and mounts are one for the vehicle."""

    perches: Literal["welded", "loose"] = _same(Plan, "perches")
    axle_shim_deg: float | None = _same(Plan, "axle_shim_deg")
    pinion_slope_deg: float | None = _same(Plan, "pinion_slope_deg")
    powertrain_slope_deg: float | None = _same(Plan, "powertrain_slope_deg")
    lateral_link_longer_mm: float | None = _same(Plan, "lateral_link_longer_mm")
    output_adapter_mm: float | None = _same(Plan, "output_adapter_mm")
    pinion_adapter_mm: float | None = _same(Plan, "pinion_adapter_mm")

    @model_validator(mode="after")
    def _one_way_to_turn(self) -> Self:
        if self.perches == "loose" and self.axle_shim_deg:
            raise ValueError(
                "axle_shim_deg: must be 0 where the perches are loose; turn the pinion with pinion_slope_deg instead"
            )
        return self


class Driveline(Section):
    """The other shaft of a vehicle that drives both axles, from its output to its axle."""

    drive: Literal["part_time", "full_time"] | None = Field(
        default=None,
        title="Four-wheel drive",
        description="Part-time: front and rear shaft are locked together while both drive. "
        "Full-time: a centre differential lets them turn apart. Left empty, what hangs on it is unknown.",
    )
    output: Output | None = Field(default=None, title="Its output")
    wheels: Wheels | None = Field(default=None, title="Its wheels")
    readings: Readings | None = Field(default=None, title="Stick and tape readings")
    axle: Axle | None = Field(default=None, title="Axle and pinion")
    suspension: Suspension | None = Field(default=None, title="Springs or links")
    perches: Perches | None = Field(default=None, title="Perches")
    clamp: Clamp | None = Field(default=None, title="Clamp of the springs")
    square: AxleSquare | None = Field(default=None, title="Axle square")
    shaft: Shaft | None = Field(default=None, title="Shaft and joints")
    shocks: Annotated[tuple[Shock, ...], Field(max_length=16, fail_fast=True)] = Field(default=(), title="Shocks")
    torque_bars: Annotated[tuple[TorqueBar, ...], Field(max_length=8, fail_fast=True)] = Field(
        default=(), title="Torque bars"
    )
    lateral_link: LateralLink | None = Field(default=None, title="Lateral link")
    flexible_lines: Annotated[tuple[FlexibleLine, ...], Field(max_length=16, fail_fast=True)] = Field(
        default=(), title="Hoses, cables, wires"
    )
    obstacles: Annotated[tuple[Obstacle, ...], Field(max_length=100, fail_fast=True)] = Field(
        default=(), title="Obstacles"
    )
    plan: OwnPlan | None = Field(default=None, title="Plan")
    order: Wishes | None = Field(default=None, title="Shaft order")
    measured_again: Annotated[tuple[ReadAgain, ...], Field(max_length=12, fail_fast=True)] = Field(
        default=(),
        title="Measured again",
        description="Sets read after the tack, the weld and the drive, in that order.",
    )
