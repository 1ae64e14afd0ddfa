"""Lines and joints after the plan and as measured, how they turn, and how far gauge and tape let that be off."""

from functools import cached_property

import numpy as np

from geometry.document.sides import SECOND
from geometry.judge.kinds import SIDES, point, side
from geometry.judge.ride_facts import RideFacts
from geometry.mechanics import spread
from geometry.mechanics.chain import Chain, chain_of, peaks
from geometry.mechanics.pose import (
    Axle,
    Pose,
    Powertrain,
    axle_of,
    mount_shim_turn_deg,
    posed,
    powertrain_of,
    turn_to_slope_deg,
)
from geometry.mechanics.vectors import (
    NAN,
    NOWHERE,
    ONE,
    ORIGIN,
    RADIAN,
    ZERO,
    Bools,
    Floats,
    Vector,
    backward,
    line_of,
    norm,
    plus,
    side_slope_deg,
    times,
    turned_by,
    where,
)

_PLACES = ("powertrain.output_joint_mm.0", "axle.centre_mm.0", "shaft.bearing_mm.0")
"""Once one of these is entered the shaft's line waits for all of them: the stick says nothing of what lies in plan."""
PLAN = (
    "powertrain.output_joint_mm.0", "axle.centre_mm.0", "axle.pinion_length_mm", "powertrain.plan_deg",
    "axle.pinion_plan_deg", "axle.pinion_offset_mm", "shaft.bearing_mm.0",
)  # fmt: skip
"""Where any of these is entered the person is past the three angles, and what lies in plan counts."""


class LineFacts(RideFacts):
    """What hangs on output, pinion, bearing and stick; the second of the rooms of `Facts`."""

    # ------------------------------------------------------------------ lines and joints

    @cached_property
    def unplaced(self) -> Bools:
        """Rows of which no joint's place is entered, so that the stick tells all that is known of the shaft's line."""
        unplaced: Bools = np.isnan(self.v[_PLACES[0]])
        for path in _PLACES[1:]:
            unplaced = unplaced & np.isnan(self.v[path])
        return unplaced

    @cached_property
    def shaft_plan_open(self) -> Bools:
        """Rows of a front axle whose shaft's line is the stick's alone, which says nothing of how it runs in plan."""
        return self.unplaced if self.kinds.ahead else np.zeros_like(self.unplaced)

    @cached_property
    def flat(self) -> Bools:
        """Rows with nothing entered of what lies in plan: the lines are taken to run straight ahead."""
        flat: Bools = np.isnan(self.v[PLAN[0]])
        for path in PLAN[1:]:
            flat = flat & np.isnan(self.v[path])
        return flat

    @cached_property
    def taped(self) -> Bools:
        """Rows whose joints' places are all entered, so that the shaft's line is theirs and not the stick's."""
        v = self.v
        slope = np.where(self.pinion_set, v["plan.pinion_slope_deg"], v["axle.pinion_slope_deg"])
        whole = sum(point(v, "powertrain.output_joint_mm")) + sum(point(v, "axle.centre_mm"))
        if self.kinds.pieces == 2:
            whole = whole + sum(point(v, "shaft.bearing_mm"))
        if self.kinds.ahead:
            whole = whole + v["axle.pinion_offset_mm"]
        taped: Bools = np.isfinite(whole + slope + v["axle.pinion_length_mm"])
        return taped

    @cached_property
    def pinion_set(self) -> Bools:
        """Rows whose loose perches let the pinion be set to a slope of its own."""
        wanted = self.v["plan.pinion_slope_deg"]
        return np.isfinite(wanted) if self.kinds.loose_perches else np.zeros_like(wanted, np.bool_)

    @cached_property
    def pinion_base_deg(self) -> Floats:
        """Pinion slope in the frame that turns are counted from: as measured, or else as it is to be set."""
        measured = self.v["axle.pinion_slope_deg"]
        return np.where(self.pinion_set & np.isnan(measured), self._pinion_wanted_deg, measured)

    @property
    def _pinion_wanted_deg(self) -> Floats:
        """Pinion slope in the frame that loose perches are set to: a gauge on the tyres reads the tilt besides."""
        return self.v["plan.pinion_slope_deg"] - self.ride.set_tilt_deg

    @cached_property
    def wedge_deg(self) -> Floats:
        """Wedge at the perches, degrees; none with loose perches."""
        return ZERO if self.kinds.loose_perches else self.v.given("plan.axle_shim_deg", 0.0)

    @cached_property
    def mount_shim_mm(self) -> Floats:
        """Shim under the rear mount, mm; none with loose mounts."""
        return ZERO if self.kinds.loose_mounts else self.v.given("plan.mount_shim_mm", 0.0)

    @cached_property
    def powertrain(self) -> Powertrain:
        """Output after the plan."""
        v = self.v
        line = self.output_line
        joint, adapter = point(v, "powertrain.output_joint_mm"), self._output_adapter_mm
        joint = where(adapter == 0.0, joint, plus(joint, times(adapter, line)))
        hinge, rear = side(v, "powertrain.front_mount_mm"), side(v, "powertrain.rear_mount_mm")
        if not self.kinds.loose_mounts:
            turn = -mount_shim_turn_deg(hinge, rear, self.mount_shim_mm)
            return self._settled(line, joint, hinge, rear, turn, (ZERO, ZERO))
        wanted = v["plan.powertrain_slope_deg"]
        to_slope = turn_to_slope_deg(line, wanted - self.ride.set_tilt_deg)
        turn = np.where(np.isnan(wanted), self._turn_by_other_deg, to_slope)
        shift = (v.given("plan.powertrain_shift_mm.0", 0.0), v.given("plan.powertrain_shift_mm.1", 0.0))
        return self._settled(line, joint, hinge, rear, turn, shift)

    @property
    def _turn_by_other_deg(self) -> Floats:
        """How far the plan turns loose engine and gearbox until the other driveline's output has its slope, degrees."""
        wanted = self.v[f"{SECOND}plan.powertrain_slope_deg"] if self.kinds.both else NAN
        if np.isnan(wanted).all():
            return ZERO
        output = f"{SECOND}output"
        line = self._level(line_of(self.v[f"{output}.slope_deg"], self.v.given(f"{output}.plan_deg", 0.0)))
        turn = turn_to_slope_deg(line, wanted - self.ride.set_tilt_deg)
        return np.where(np.isnan(wanted), 0.0, turn)

    def _settled(
        self, line: Vector, joint: Vector, hinge: SIDES, rear: SIDES, turn: Floats, shift: SIDES
    ) -> Powertrain:
        """The powertrain turned and shifted by the plan, then let down by as much as its mounts have sunk."""
        if self.moved.sunk:
            front_down, rear_down = self.moved.front_mount_mm, self.moved.rear_mount_mm
            still = turn == 0.0
            arm = Vector(rear[0] - hinge[0], ZERO, rear[1] - hinge[1])
            turned = where(still, arm, turned_by(arm, np.cos(turn * RADIAN), np.sin(turn * RADIAN)))
            sunk = mount_shim_turn_deg((ZERO, ZERO), (turned.x, turned.z), front_down - rear_down)
            turn, shift = turn - sunk, (shift[0], shift[1] - front_down)
        return powertrain_of(line, joint, hinge, turn, shift)

    @property
    def _output_adapter_mm(self) -> Floats:
        """How far rearward along the output line a planned adapter moves the joint, mm."""
        thick = self.v.given("plan.output_adapter_mm", 0.0)
        return -thick if self.kinds.ahead else thick

    @cached_property
    def output_line(self) -> Vector:
        """Output line as measured."""
        return self._level(line_of(self.v["powertrain.slope_deg"], self.v.given("powertrain.plan_deg", 0.0)))

    def _level(self, line: Vector) -> Vector:
        """A line as read, with what the rail's slope makes of it taken out."""
        if self.level_deg is ZERO:
            return line
        angle = self.level_deg * RADIAN
        return turned_by(line, np.cos(angle), np.sin(angle))

    def _axle(self, slope: Floats, turn: Floats, centre: Vector, adapter_mm: Floats = ZERO) -> Axle:
        v = self.v
        return axle_of(
            slope,
            v.given("axle.pinion_plan_deg", 0.0),
            turn,
            centre,
            v["axle.pinion_length_mm"] + adapter_mm,
            v.given("axle.pinion_drop_mm", 0.0),
            self._pinion_offset_mm,
            ahead=self.kinds.ahead,
        )

    @cached_property
    def aside_open(self) -> Bools:
        """Rows of a front axle of which nobody entered how far its pinion lies aside."""
        lacks: Bools = np.isnan(self.v["axle.pinion_offset_mm"]) & ~self.flat
        return lacks if self.kinds.ahead else np.zeros_like(lacks)

    @cached_property
    def _pinion_offset_mm(self) -> Floats:
        """How far the pinion lies right of the axle's middle, mm.

        In the middle where that is left empty; a front axle's passes the engine, and may lie anywhere.
        """
        usual = self.v.given("axle.pinion_offset_mm", 0.0)
        return np.where(self.aside_open, NAN, usual) if self.kinds.ahead else usual

    @cached_property
    def axle(self) -> Axle:
        """Pinion and its arm after the plan, at ride height."""
        entered, shift = point(self.v, "axle.centre_mm"), self.ride.shift
        centre = Vector(entered.x + shift.x, entered.y + shift.y, entered.z + shift.z)
        turn = self.pinion_turn_deg + self.axle_level_deg
        if np.any(self.pinion_set):
            turn = np.where(self.pinion_set, self._set_turn_deg + self.ride.up_turn_deg, turn)
        return self._axle(self.pinion_base_deg, turn, centre, self.v.given("plan.pinion_adapter_mm", 0.0))

    @cached_property
    def pinion_turn_deg(self) -> Floats:
        """How far lift and wedge, or the setting of loose perches, turn the pinion from its measured slope, degrees."""
        turn = self.ride.turn_deg - self.wedge_deg if self.kinds.ahead else self.ride.turn_deg + self.wedge_deg
        if np.any(self.pinion_set):
            set_turn = self._set_turn_deg - self.axle_level_deg + self.ride.up_turn_deg
            turn = np.where(self.pinion_set, set_turn, turn)
        return turn

    @cached_property
    def axle_turn_deg(self) -> Floats:
        """How far the plan turns the axle and what is held on it from where they were measured, degrees."""
        lost = self.pinion_set & np.isnan(self.v["axle.pinion_slope_deg"])
        return np.where(lost, NAN, self.pinion_turn_deg)

    @cached_property
    def bare(self) -> Bools:
        """Rows without a planned adapter, whose joints stand on their flanges as they were measured."""
        bare: Bools = (self.v.given("plan.output_adapter_mm", 0.0) == 0.0) & (
            self.v.given("plan.pinion_adapter_mm", 0.0) == 0.0
        )
        return bare

    @cached_property
    def _set_turn_deg(self) -> Floats:
        """How far loose perches turn the pinion's line from what the gauge read, degrees, as they are set."""
        line = line_of(self.pinion_base_deg, self.v.given("axle.pinion_plan_deg", 0.0))
        return turn_to_slope_deg(line, self._pinion_wanted_deg)

    @cached_property
    def stood(self) -> Bools:
        """Rows whose axle and engine stand where they were measured, so that the stick's reading still counts."""
        shift = self.ride.shift
        axle: Bools = (
            (self.ride.lift_mm == 0.0)
            & (self.ride.up_mm == 0.0)
            & (shift.x == 0.0)
            & (shift.y == 0.0)
            & (shift.z == 0.0)
        )
        return axle & self._engine_stood

    @property
    def _engine_stood(self) -> Bools:
        """Rows whose engine stands where it was measured, with the joints on their flanges."""
        engine = self.powertrain
        stood: Bools = (engine.turn_deg == 0.0) & (engine.shift.x == 0.0) & (engine.shift.z == 0.0)
        return stood & self.bare

    @cached_property
    def by_block(self) -> Bools:
        """Rows whose shaft is known along itself alone, by stick and tape, and whose axle a block carries off."""
        kinds = self.kinds
        blocked: Bools = self.unplaced & (self.ride.lift_mm != 0.0) & (self.ride.up_mm == 0.0)
        if kinds.pieces == 2 or kinds.by != "block" or not kinds.over or kinds.suspension == "links":
            return np.zeros_like(blocked)
        return blocked & self._engine_stood

    @cached_property
    def stick(self) -> Vector:
        """Line of the stick between the yokes, as read."""
        return self._level(line_of(self.v["readings.shaft_slope_deg"])) if self.kinds.pieces == 1 else NOWHERE

    @cached_property
    def _along_mm(self) -> Vector:
        """From joint to joint along the stick, whose end at the axle has gone as the axle has, mm."""
        way = -self.v["readings.shaft_length_mm"] if self.kinds.ahead else self.v["readings.shaft_length_mm"]
        along = plus(times(way, self.stick), self.ride.shift)
        return backward(along) if self.kinds.ahead else along

    @cached_property
    def planned_stick(self) -> Vector:
        """Line of the stick after the plan: as read, or as a block has tilted it."""
        if not self.by_block.any():
            return self.stick
        size = norm(self._along_mm)
        return where(self.by_block, times(1.0 / np.where(size > 0.0, size, NAN), self._along_mm), self.stick)

    @cached_property
    def bearing(self) -> Vector | None:
        """Support bearing of a two-piece shaft."""
        return point(self.v, "shaft.bearing_mm") if self.kinds.pieces == 2 else None

    def posed_at(self, turn_deg: Floats, shift: Vector = ORIGIN, by_stick: Bools | None = None) -> Pose:
        """Lines and joints after the plan with the axle turned and shifted further."""
        angle = turn_deg * RADIAN
        return self.posed_by(np.cos(angle), np.sin(angle), shift, by_stick)

    def posed_by(self, cosine: Floats, sine: Floats, shift: Vector = ORIGIN, by_stick: Bools | None = None) -> Pose:
        """The same, from the turn's cosine and sine."""
        return posed(
            self.powertrain, self.axle, self.bearing, self.planned_stick, ahead=self.kinds.ahead,
            by_stick=self.by_stick if by_stick is None else by_stick,
            cosine=cosine, sine=sine, shift=shift,
        )  # fmt: skip

    @property
    def by_stick(self) -> Bools:
        """Rows whose shaft lies as the stick was read, or as a block tilts it: its joints' places are not known."""
        return self.unplaced & self.stood | self.by_block if self.unplaced.any() else self.unplaced

    @cached_property
    def pose(self) -> Pose:
        """Lines and joints after the plan, at rest at ride height."""
        return self.posed_by(ONE, ZERO)

    @cached_property
    def measured(self) -> Pose:
        """Lines and joints as measured, before the plan."""
        v = self.v
        powertrain = Powertrain(self.output_line, point(v, "powertrain.output_joint_mm"), ZERO, ORIGIN)
        axle = self._axle(v["axle.pinion_slope_deg"], self.axle_level_deg, point(v, "axle.centre_mm"))
        return posed(
            powertrain, axle, self.bearing, self.stick, ahead=self.kinds.ahead,
            by_stick=self.unplaced, cosine=ONE, sine=ZERO,
        )  # fmt: skip

    @cached_property
    def lengths_mm(self) -> tuple[Floats, ...]:
        """Length of each section after the plan, joint to joint; by tape along the shaft where no place is known."""
        if self.kinds.pieces == 2:
            return self.pose.lengths_mm
        stood = (self.ride.lift_mm == 0.0) & (self.ride.up_mm == 0.0) & self.bare
        read = np.where(stood, self.v["readings.shaft_length_mm"], NAN)
        if self.by_block.any():
            read = np.where(self.by_block, norm(self._along_mm), read)
        return (np.where(self.taped, self.pose.lengths_mm[0], read),)

    # ------------------------------------------------------------------ motion

    @cached_property
    def phases_deg(self) -> tuple[Floats, ...]:
        """Phase of each section, from output to pinion."""
        phases = tuple(self.v.given(path, 0.0) for path in self.kinds.phases)
        return phases[::-1] if self.kinds.ahead else phases

    @cached_property
    def even(self) -> tuple[bool, ...]:
        """Which joints pass the motion on evenly, from output to pinion."""
        return self.kinds.even[::-1] if self.kinds.ahead else self.kinds.even

    def chain(self, pose: Pose, phases_deg: tuple[Floats, ...] | None = None) -> Chain:
        """The joints of a pose, from output to pinion; none of them known where one line is not.

        Of a pose of one row the phases are to be that row's.
        """
        lines = pose.along_drive(ahead=self.kinds.ahead)
        made = chain_of(lines, self.phases_deg if phases_deg is None else phases_deg)
        if len(lines) == 3:
            gap = 0.0 * (made.cosine[0] + made.cosine[1])
        else:
            gap = 0.0 * (made.cosine[0] + made.cosine[1] + made.cosine[2])
        return Chain(tuple(part + gap for part in made.cosine), *made[1:])

    def operating_deg(self, chain: Chain) -> tuple[Floats, ...]:
        """Operating angles of the joints, front to rear, degrees."""
        angles = chain.operating_deg
        return angles[::-1] if self.kinds.ahead else angles

    @cached_property
    def rest_chain(self) -> Chain:
        """The joints after the plan, at rest."""
        return self.chain(self.pose)

    @cached_property
    def angles_deg(self) -> tuple[Floats, ...]:
        """Operating angles after the plan at rest, front to rear, degrees."""
        return self.operating_deg(self.rest_chain)

    @cached_property
    def rest_peaks(self) -> list[Floats]:
        """Peaks of sections and pinion at rest, driving, over omega squared."""
        return peaks(self.rest_chain, self.even)

    @cached_property
    def residual(self) -> Floats:
        """Peak acceleration at the pinion at rest, over omega squared."""
        return self.rest_peaks[-1]

    @cached_property
    def drive(self) -> Floats:
        """Peak acceleration of the section that is jerked most, driving, over omega squared."""
        most = self.rest_peaks[0]
        for peak in self.rest_peaks[1:-1]:
            most = np.maximum(most, peak)
        return most

    @cached_property
    def coast(self) -> Floats:
        """Peak acceleration of the section that is jerked most with the pinion turning evenly, over omega squared."""
        most = self.coast_peaks[0]
        for peak in self.coast_peaks[1:]:
            most = np.maximum(most, peak)
        return most

    @cached_property
    def coast_peaks(self) -> list[Floats]:
        """Peaks of the sections at rest with the pinion turning evenly, over omega squared."""
        return peaks(self.rest_chain.backward().to_last_section(), self.even[::-1])

    @cached_property
    def swing_share(self) -> Floats:
        """Arm from the axle's centre to the pinion's joint in side view, over the length of the section beside it."""
        arm = np.sqrt(self.axle.arm.x**2 + self.axle.arm.z**2)
        return np.where(self.taped, arm / self.lengths_mm[self.kinds.beside_axle], 0.0)

    @cached_property
    def measured_swing_share(self) -> Floats:
        """The same of the vehicle as measured."""
        v = self.v
        length, drop = v["axle.pinion_length_mm"], v.given("axle.pinion_drop_mm", 0.0)
        return np.hypot(length, drop) / self.measured.lengths_mm[self.kinds.beside_axle]

    @cached_property
    def band_deg(self) -> Floats:
        """Half-width of the difference of a pair's angles that gauge and tape leave open, degrees."""
        v, pose, kinds = self.v, self.pose, self.kinds
        gauge, tape = v["gauge.angle_uncertainty_deg"], v["gauge.tape_uncertainty_mm"]
        by_tape = spread.taped_slope_standard_deg(tape, self.lengths_mm[-1])
        standard = np.where(self.taped, by_tape, spread.gauge_standard_deg(gauge))
        shaft = side_slope_deg(pose.sections[-1])
        output, pinion = (kinds.pieces - kinds.pinion_joint, pose.output), (kinds.pinion_joint, pose.pinion)
        first, last = (
            (shaft - side_slope_deg(line)) / np.maximum(self.angles_deg[joint], 1e-9)
            for joint, line in (output, pinion)
        )
        return spread.cancellation_deg(gauge, standard, first, last, self.swing_share)
