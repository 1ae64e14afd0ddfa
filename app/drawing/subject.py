"""What is drawn: a build, its solution, and the state in which it is shown, with the few sizes that all parts need."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from app.drawing.places import Pair, flat
from geometry.document import Build, is_front_axle
from geometry.document.running_gear import Joint, LeafSuspension, OnePieceShaft, Tube, TwoPieceShaft
from geometry.words.solution import Picture, Solution, Triple, UsedState

Torque = Literal["none", "cruise", "launch"]
JointType = Literal["cardan", "double_cardan", "constant_velocity"]
TUBE_MM, AXLE_TUBE_MM, PINION_MM, SHAFT_MM = 60.0, 80.0, 335.0, 1000.0
"""Usual sizes, for the picture only, where nothing is entered; what is drawn with them is dashed."""


@dataclass(frozen=True)
class Subject:
    """A build as it is drawn: `whole` is its solution, `here` that of the state shown, `ends` those at bump and droop.

    `travel_mm` is how far the axle is from ride height, bump positive. `bare` tells that the vehicle is shown as it was
    measured, though something is planned. `used` is the state, of those that the vehicle is used in, from whose ride
    height the travel counts; None as measured.
    """

    build: Build
    whole: Solution
    here: Solution
    travel_mm: float = 0.0
    torque: Torque = "none"
    ends: tuple[Solution, ...] = ()
    bare: bool = False
    used: UsedState | None = None
    region: tuple[tuple[Pair, ...], ...] = ()
    """Where what is chosen may go, seen from the side: the upper eye of a shock."""

    @property
    def away(self) -> bool:
        """Whether another place than where the plan is set is shown, or torque."""
        return self.travel_mm != 0.0 or self.torque != "none" or self.used is not None

    @cached_property
    def ahead(self) -> bool:
        """Whether the driven axle lies ahead of the powertrain's output."""
        return is_front_axle(self.build)

    @property
    def picture(self) -> Picture:
        """The points of the state that is shown."""
        return self.here.picture

    @cached_property
    def measured(self) -> bool:
        """Whether the joints' places are known; else the shaft is drawn by its slopes and length alone."""
        return bool(self.whole.picture.joint_centres_mm)

    @cached_property
    def drawable(self) -> bool:
        """Whether there is a line of the shaft to draw."""
        picture = self.here.picture
        return bool(self.joints) and bool(picture.joint_centres_mm or picture.section_directions)

    @cached_property
    def joints(self) -> tuple[Triple, ...]:
        """Joint centres, front to rear."""
        return self._centres(self.here)

    @cached_property
    def rest_joints(self) -> tuple[Triple, ...]:
        """The same at ride height."""
        return self._centres(self.whole)

    def _centres(self, of: Solution) -> tuple[Triple, ...]:
        if of.picture.joint_centres_mm:
            return of.picture.joint_centres_mm
        if not of.picture.section_directions:
            return ()
        # The stick's slope and length alone: hung on the hub where that is known, so that tyres are to scale with it.
        along, size = of.picture.section_directions[-1], of.shaft.length_mm or SHAFT_MM
        hub = of.picture.front_hub_mm if self.ahead else of.picture.rear_hub_mm
        run, rise = along[0] * size, along[2] * size
        if hub is None:
            return (0.0, 0.0, 600.0), (run, 0.0, 600.0 + rise)
        if self.ahead:
            nose = (hub[0] + PINION_MM, 0.0, hub[1])
            return nose, (nose[0] + run, 0.0, nose[2] + rise)
        nose = (hub[0] - PINION_MM, 0.0, hub[1])
        return (nose[0] - run, 0.0, nose[2] - rise), nose

    @cached_property
    def side_joints(self) -> tuple[Pair, ...]:
        """Joint centres in side view."""
        return tuple((x, z) for x, _, z in self.joints)

    @cached_property
    def output(self) -> Pair:
        """The output's joint, side view."""
        return self.side_joints[-1 if self.ahead else 0]

    @cached_property
    def nose(self) -> Pair:
        """The pinion's joint, side view."""
        return self.side_joints[0 if self.ahead else -1]

    @cached_property
    def output_line(self) -> Pair | None:
        """The output's direction in side view, followed rearward."""
        line = self.picture.output_direction
        return None if line is None else flat(line)

    @cached_property
    def pinion_line(self) -> Pair | None:
        """The pinion's direction in side view, followed rearward."""
        line = self.picture.pinion_direction
        return None if line is None else flat(line)

    @cached_property
    def axle_centre(self) -> Pair | None:
        """The axle's centre in side view: measured, or where the hub is for a shaft that is hung on it."""
        centre = self.picture.axle_centre_mm
        if centre is not None:
            return centre[0], centre[2]
        hub = self.picture.front_hub_mm if self.ahead else self.picture.rear_hub_mm
        return hub if not self.measured else None

    @cached_property
    def joint_names(self) -> tuple[str, ...]:
        """Names of the joints, front to rear; of the shaft as entered while none has a place."""
        count = len(self.joints) or (3 if isinstance(self.build.shaft, TwoPieceShaft) else 2)
        return ("front", "rear") if count == 2 else ("front", "centre", "rear")

    @cached_property
    def joint_types(self) -> tuple[JointType, ...]:
        """Kinds of the joints, front to rear."""
        return tuple(one.type if one is not None else "cardan" for one in self._joints_entered)

    def greatest_deg(self, joint: int) -> float | None:
        """The angle that a joint can take at most, where it is entered."""
        one = self._joints_entered[joint]
        return None if one is None else one.max_angle_deg

    @cached_property
    def _joints_entered(self) -> tuple[Joint | None, ...]:
        return tuple(getattr(self.build.shaft, f"{name}_joint", None) for name in self.joint_names)

    @cached_property
    def tubes_mm(self) -> tuple[float | None, ...]:
        """Outside diameters of the sections' tubes, front to rear, where they are entered."""
        shaft = self.build.shaft
        tubes: tuple[Tube | None, ...] = (None,)
        if isinstance(shaft, TwoPieceShaft):
            tubes = shaft.front_tube, shaft.rear_tube
        elif isinstance(shaft, OnePieceShaft):
            tubes = (shaft.tube,)
        return tuple(None if one is None else one.outer_diameter_mm for one in tubes)

    @cached_property
    def joint_radius_mm(self) -> float:
        """Radius at which a joint's cross is drawn."""
        return max(20.0, 0.36 * max((one for one in self.tubes_mm if one), default=0.0) or 27.0)

    @cached_property
    def axle_tube_mm(self) -> float:
        """The axle tube's diameter, or a usual one."""
        axle = self.build.axle
        return (axle.tube_diameter_mm if axle is not None else None) or AXLE_TUBE_MM

    @property
    def housing_mm(self) -> float:
        """Radius at which the axle's housing is drawn."""
        return 1.62 * self.axle_tube_mm

    @cached_property
    def spring(self) -> tuple[Pair, ...]:
        """The main leaf in side view, front to rear: its fixed eye may be either end."""
        curve = self.picture.spring_mm
        return curve[::-1] if self._spring_turned else curve

    @cached_property
    def bolt_share(self) -> float:
        """Where along the main leaf its centre bolt is, from the front."""
        spring = self.build.suspension
        if not isinstance(spring, LeafSuspension) or not (spring.front_half_mm and spring.rear_half_mm):
            return 0.5
        share = spring.front_half_mm / (spring.front_half_mm + spring.rear_half_mm)
        return 1.0 - share if self._spring_turned else share

    @property
    def _spring_turned(self) -> bool:
        curve = self.picture.spring_mm
        return bool(curve) and curve[-1][0] < curve[0][0]

    @cached_property
    def tyre_mm(self) -> float | None:
        """Loaded radius of the driven axle's tyres."""
        vehicle = self.build.vehicle
        if vehicle is None:
            return None
        return vehicle.front_tyre_radius_mm if self.ahead else vehicle.rear_tyre_radius_mm

    @cached_property
    def slip(self) -> tuple[float, float] | None:
        """Stroke of the slip, and how much of its spline is inside now; None where either is not known."""
        shaft = self.build.shaft
        slip = None if shaft is None else shaft.slip
        if slip is None or not slip.stroke_mm or slip.engaged_mm is None:
            return None
        travel, engaged = self.whole.travel, slip.engaged_mm
        if travel is not None and travel.engaged_mm is not None and 0.0 in travel.axle_mm:
            at_ride = travel.engaged_mm[travel.axle_mm.index(0.0)]
            engaged = engaged if at_ride is None else at_ride
        longer = (self.here.shaft.length_mm or 0.0) - (self.whole.shaft.length_mm or 0.0)
        return slip.stroke_mm, engaged - longer
