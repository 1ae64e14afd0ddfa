"""The measured axle, suspension and shaft, as sections of the build document."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geometry.document.quantity import Section, SidePoint, SpacePoint, angle, count, if_empty, length, point, quantity
from geometry.document.shaft_ends import Caps, Mate, Series, ShaftEnd


class Axle(Section):
    """The driven axle: where it sits, and where its pinion points."""

    end: Literal["rear", "front"] = Field(
        default="rear",
        title="Which axle",
        description="Rear when the axle lies behind the gearbox or transfer case, front when it lies ahead of it.",
    )
    centre_mm: SpacePoint | None = point(
        "Axle centre",
        "Centre of the axle tube midway: rearward of the front axle, right of the centreline, up from the floor.",
    )
    ratio: float | None = quantity(
        "Axle ratio", "", "Ring gear teeth over pinion teeth, e.g. 3.73.", above=0.5, high=30.0
    )
    efficiency: float | None = quantity(
        "Axle efficiency",
        "",
        "Share of the torque that comes through; left empty, anything from 0.8 to 1 is looked at.",
        above=0.0,
        high=1.0,
    )
    pinion_slope_deg: float | None = angle(
        "Pinion slope",
        "Gauge on the pinion flange's face (square to the pinion) or along the pinion. Positive when the end toward the rear is lower: "
        "on a rear axle, nose up.",
    )
    pinion_plan_deg: float | None = angle(
        "Pinion, seen from above",
        "How far the pinion line points to the vehicle's right toward the rear, seen from above. Positive when its rear end lies farther right. "
        f"{if_empty(0)}",
    )
    pinion_length_mm: float | None = length(
        "Pinion length",
        "Axle tube's centre to the centre of the joint's cross at the pinion, along the pinion.",
        high=2_000.0,
    )
    pinion_drop_mm: float | None = quantity(
        "Pinion drop",
        "mm",
        "How far the pinion's centre line lies below the axle tube's centre (hypoid offset). Positive when it lies lower. "
        f"{if_empty(0)}",
        low=-500.0,
        high=500.0,
    )
    pinion_offset_mm: float | None = quantity(
        "Pinion offset",
        "mm",
        "How far the pinion's joint lies to the vehicle's right of the axle's centre point. Positive when it lies to the right. "
        f"{if_empty(0)} A front axle's shaft is not known at all then.",
        low=-1_500.0,
        high=1_500.0,
    )
    tube_diameter_mm: float | None = length(
        "Axle tube diameter", "Tape or caliper around the tube beside the perch.", high=500.0
    )
    perch_spacing_mm: float | None = length(
        "Perch spacing",
        "Centre to centre of the two spring perches across the vehicle, of coil springs as of leaves.",
        high=3_000.0,
    )
    flange_to_perch_left_mm: float | None = length(
        "Left flange to perch", "Left flange's face to the centre of the left perch.", high=2_000.0
    )
    flange_to_perch_right_mm: float | None = length(
        "Right flange to perch", "Right flange's face to the centre of the right perch.", high=2_000.0
    )
    caster_deg: float | None = angle(
        "Caster",
        "Front axle only, as it sits: gauge across both pivots of a steering knuckle, or on its machined top. Positive when the upper pivot leans rearward. "
        "Left empty, caster is not judged.",
        most=30.0,
    )
    caster_wanted_deg: float | None = angle(
        "Caster wanted",
        "Front axle only: the caster that it is to steer with after the plan, from the axle's alignment figures. Positive when the upper pivot leans rearward. "
        "Left empty, caster is not judged.",
        most=30.0,
    )
    pinion_end: Mate | None = Field(default=None, title="On the pinion")


class LeafSuspension(Section):
    """A pair of leaf springs, seen from the side."""

    kind: Literal["leaf"]
    front_eye_mm: SidePoint | None = point(
        "Front eye", "Centre of the fixed eye's bolt: rearward of the front axle, up from the floor."
    )
    shackle_pivot_mm: SidePoint | None = point(
        "Shackle pivot", "Centre of the shackle's bolt on the frame: rearward of the front axle, up from the floor."
    )
    shackle_length_mm: float | None = length("Shackle length", "Bolt centre to bolt centre.", high=600.0)
    shackle_hangs: bool = Field(
        default=True,
        title="Shackle hangs down from its bolt",
        description="Yes when the spring's eye lies below the line from the fixed eye to the shackle's bolt on the frame, no when the shackle stands up.",
    )
    front_half_mm: float | None = length(
        "Front half", "Along the main leaf from the fixed eye to the centre bolt.", high=3_000.0
    )
    rear_half_mm: float | None = length(
        "Rear half", "Along the main leaf from the centre bolt to the shackled eye.", high=3_000.0
    )
    seat: Literal["over", "under"] = Field(
        default="over",
        title="Spring lies",
        description="Over when the spring sits on top of the axle tube, under when it hangs below it.",
    )
    seat_to_axle_mm: float | None = length(
        "Seat to axle centre", "Main leaf's centre to the axle tube's centre, square to the leaf.", high=600.0, low=0.0
    )
    rate_n_per_mm: float | None = quantity(
        "Rate of one spring",
        "N/mm",
        "Load that one spring takes for each millimetre, or inch, that it gives.",
        above=0.0,
        high=2_000.0,
    )
    bump_mm: float | None = length(
        "Travel to bump stop", "Tape from ride height up to the first touch of the stop.", high=1_000.0, low=0.0
    )
    bump_squash_mm: float | None = length(
        "Squash of the bump rubber",
        "How far the bump rubber squashes beyond its first touch: its free height less its height pressed flat; 0 for bare metal. Left empty, anything from 0 to 25 mm (1 in) is looked at.",
        high=200.0,
        low=0.0,
    )
    stop_spacing_mm: float | None = length(
        "Spacing of the bump stops",
        "Centre to centre of the two bump stops, across the vehicle. Left empty, the perch spacing is taken.",
        high=3_000.0,
    )
    droop_mm: float | None = length(
        "Travel to full droop",
        "From ride height down to where strap, shock or spring stops the axle.",
        high=1_000.0,
        low=0.0,
    )


class LinkSuspension(Section):
    """A lower and an upper link, seen from the side."""

    kind: Literal["links"]
    lower_frame_mm: SidePoint | None = point(
        "Lower link at the frame", "Bolt centre: rearward of the front axle, up from the floor."
    )
    lower_axle_mm: SidePoint | None = point(
        "Lower link at the axle", "Bolt centre: rearward of the front axle, up from the floor."
    )
    upper_frame_mm: SidePoint | None = point(
        "Upper link at the frame", "Bolt centre: rearward of the front axle, up from the floor."
    )
    upper_axle_mm: SidePoint | None = point(
        "Upper link at the axle", "Bolt centre: rearward of the front axle, up from the floor."
    )
    rigid: bool = Field(
        default=False,
        title="Link ends are rigid",
        description="Yes where every link end is a metal ball or a bushed bolt without give; then torque does not turn the axle. "
        "No where any end sits in rubber.",
    )
    rate_n_per_mm: float | None = quantity(
        "Rate of one spring",
        "N/mm",
        "Load at the wheel for each millimetre, or inch, that one side gives; not at the spring, where that sits inboard.",
        above=0.0,
        high=2_000.0,
    )
    bump_mm: float | None = length(
        "Travel to bump stop", "Tape from ride height up to the first touch of the stop.", high=1_000.0, low=0.0
    )
    bump_squash_mm: float | None = length(
        "Squash of the bump rubber",
        "How far the bump rubber squashes beyond its first touch: its free height less its height pressed flat; 0 for bare metal. Left empty, anything from 0 to 25 mm (1 in) is looked at.",
        high=200.0,
        low=0.0,
    )
    stop_spacing_mm: float | None = length(
        "Spacing of the bump stops",
        "Centre to centre of the two bump stops, across the vehicle.",
        high=3_000.0,
    )
    droop_mm: float | None = length(
        "Travel to full droop",
        "From ride height down to where strap, shock or link stops the axle.",
        high=1_000.0,
        low=0.0,
    )


Suspension = Annotated[LeafSuspension | LinkSuspension, Field(discriminator="kind")]


class Joint(Section):
    """One joint of the shaft."""

    type: Literal["cardan", "double_cardan", "constant_velocity"] = Field(
        default="cardan",
        title="Joint type",
        description="Single cross, two crosses in one housing, or constant velocity.",
    )
    series: Series | None = Field(
        default=None,
        title="Joint series",
        description="Trade size of the cross: caliper a cap and the span over two caps, and look them up at the joint's supplier. Left empty, no size is taken.",
    )
    swing_mm: float | None = length(
        "Yoke swing",
        "Diameter that the yoke's ears sweep as the shaft turns: caliper from the shaft's centre line to the tip of an ear, times two. "
        "Left empty, the least that the series' caps sweep is taken.",
        high=400.0,
    )
    max_angle_deg: float | None = quantity(
        "Greatest angle", "deg", "The most this joint turns before metal touches, from its maker.", above=0.0, high=90.0
    )
    torque_limit_nm: float | None = quantity(
        "Torque limit", "N·m", "The most it may carry for a moment, from its maker.", above=0.0, high=500_000.0
    )
    life_rating_nm: float | None = quantity(
        "Torque for 5,000 hours",
        "N·m",
        "The torque that it carries for 5,000 hours at 100 rpm and 3°, from its maker.",
        above=0.0,
        high=500_000.0,
    )


class Tube(Section):
    """The shaft's tube."""

    outer_diameter_mm: float | None = length(
        "Tube outside diameter", "Caliper across the tube, away from the welds.", high=400.0
    )
    wall_mm: float | None = length(
        "Tube wall", "Wall thickness, from the tube's order or a caliper at a cut end.", high=50.0
    )
    material: Literal["steel", "aluminium"] = Field(
        default="steel", title="Tube material", description="A magnet sticks to steel and not to aluminium."
    )
    yield_mpa: float | None = quantity(
        "Tube yield stress",
        "MPa",
        "From the tube's certificate; left empty, a usual value is taken. "
        "An aluminium tube counts at its strength beside the weld (about 0.38 of the certificate's).",
        above=0.0,
        high=3_000.0,
    )

    @model_validator(mode="after")
    def _hollow(self) -> Self:
        if (
            self.outer_diameter_mm is not None
            and self.wall_mm is not None
            and 2 * self.wall_mm >= self.outer_diameter_mm
        ):
            raise ValueError("wall_mm: must be less than half of outer_diameter_mm")
        return self


class Slip(Section):
    """The sliding spline that lets the shaft change its length."""

    stroke_mm: float | None = length(
        "Slip stroke", "From spline bottomed to spline just leaving its sleeve.", high=1_000.0
    )
    engaged_mm: float | None = length(
        "Slip engaged at ride height",
        "Length of spline inside the sleeve with the vehicle at ride height.",
        high=1_000.0,
        low=0.0,
    )
    spline_diameter_mm: float | None = length(
        "Spline diameter",
        "Outside diameter of the spline, by caliper over its teeth; one and a half diameters of engagement are wanted. "
        "Left empty, anything from 25 to 51 mm (1 to 2 in) is looked at.",
        high=200.0,
    )
    spline_teeth: float | None = count(
        "Spline teeth",
        "Teeth of the slip's spline, counted all round; one tooth out turns the yokes by a full turn over their number.",
        low=4.0,
        high=100.0,
    )
    sits: Literal["output_end", "pinion_end", "gearbox"] | None = Field(
        default=None,
        title="Slip sits",
        description="In the shaft, at its gearbox end or its axle end; or in the gearbox, where a slip yoke slides on the output's spline.",
    )
    seal: Literal["boot", "lip"] | None = Field(
        default=None, title="Seal of the slip", description="A boot over the bare spline, or a lip seal at the sleeve."
    )
    seal_travel_mm: float | None = length(
        "Travel of the seal",
        "How far boot or lip follows the slip: its length pulled out less its length pushed together.",
        high=1_000.0,
    )

    @model_validator(mode="after")
    def _inside(self) -> Self:
        if self.stroke_mm is not None and self.engaged_mm is not None and self.engaged_mm > self.stroke_mm:
            raise ValueError("engaged_mm: must not be more than stroke_mm")
        return self


class OnePieceShaft(Section):
    """One tube between two joints."""

    kind: Literal["one_piece"]
    front_joint: Joint | None = None
    rear_joint: Joint | None = None
    tube: Tube | None = None
    slip: Slip | None = None
    front_end: ShaftEnd | None = Field(default=None, title="Front end of the shaft")
    rear_end: ShaftEnd | None = Field(default=None, title="Rear end of the shaft")
    phase_deg: float | None = angle(
        "Phase of the yokes",
        "How far the rear yoke is turned from being in line with the front one, right-hand about the shaft's rearward direction. "
        f"{if_empty(0)}",
        most=180.0,
    )


class TwoPieceShaft(Section):
    """Two tubes with a support bearing between them."""

    kind: Literal["two_piece"]
    bearing_mm: SpacePoint | None = point(
        "Support bearing",
        "Centre of the support bearing: rearward of the front axle, right of the centreline, up from the floor.",
    )
    front_joint: Joint | None = None
    centre_joint: Joint | None = None
    rear_joint: Joint | None = None
    front_tube: Tube | None = None
    rear_tube: Tube | None = None
    slip: Slip | None = None
    front_end: ShaftEnd | None = Field(default=None, title="Front end of the shaft")
    rear_end: ShaftEnd | None = Field(default=None, title="Rear end of the shaft")
    bearing_slope_deg: float | None = angle(
        "Slope of the bearing's housing",
        "Gauge on the face of the support bearing's housing, as on a flange's face: level counts as a face that stands upright. "
        "Positive when the end toward the rear is lower, as for the shaft that it is square to.",
    )
    bearing_plan_deg: float | None = angle(
        "Bearing's housing in plan",
        "String line across the face of the support bearing's housing: how far it is off square to the vehicle's length. "
        "Positive when the line that is square to it leads to the right toward the rear; 0 where it is square.",
    )
    bearing_off_centre_mm: float | None = length(
        "Bearing off its rubber's middle",
        "How far the bearing sits from the middle of its rubber at rest, to whichever side, by caliper all round.",
        high=100.0,
        low=0.0,
    )
    bearing_step_mm: float | None = length(
        "Step of the hanger",
        "How finely the hanger can be set up or down: the shim that is at hand, or the spacing of its holes. "
        "Left empty, an eighth of an inch, or 3 mm.",
        high=100.0,
    )
    bearing_bolts_mm: float | None = length(
        "Bolt spacing of the hanger", "Centre to centre of the bolts that hold the support bearing.", high=600.0
    )
    bearing_bore_mm: float | None = length(
        "Bore of the bearing",
        "Caliper across the support bearing's inner ring, or over the seat of the shaft that goes into it.",
        high=200.0,
    )
    centre_end: Caps | None = Field(default=None, title="Caps of the centre joint")
    front_phase_deg: float | None = angle(
        "Phase of the front section",
        "How far the front section's rear yoke is turned from its front one, right-hand about the rearward direction. "
        f"{if_empty(0)}",
        most=180.0,
    )
    rear_phase_deg: float | None = angle(
        "Phase of the rear section",
        "How far the rear section's rear yoke is turned from its front one, right-hand about the rearward direction. "
        f"{if_empty(0)}",
        most=180.0,
    )


Shaft = Annotated[OnePieceShaft | TwoPieceShaft, Field(discriminator="kind")]
