"""The axle on its suspension after the lift, and the speeds and torques that reach the shaft."""

from functools import cached_property

import numpy as np

from geometry.document.entries import Variants
from geometry.judge.kept import leaf_travel, lifted, link_path, link_travel, ride_curvature
from geometry.judge.kinds import Kinds, point, side
from geometry.judge.shapes import Ride
from geometry.judge.states import STILL, Moved, level_deg, read_apart_mm
from geometry.mechanics import lateral, links, springs
from geometry.mechanics.loads import (
    CRUISE_SHARE,
    SHOCK_FACTOR,
    TALL_MASS_CENTRE_MM,
    Speeds,
    launch_torque_nm,
    load_transfer,
    low_gear_torque_nm,
    rolling_radius_mm,
    shaft_speed_rpm,
    wheel_slip_torque_nm,
)
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, Vector, number

HYPOID_LOSS = 0.8
"""No axle's gears are worse than this, taken for the most that the tyres may ask: common practice, no source."""


class RideFacts:
    """What hangs on springs, links, lift, wheels and gears; the first of the rooms of `Facts`."""

    v: Variants
    kinds: Kinds
    moved: Moved
    ride: Ride

    # ------------------------------------------------------------------ the suspension and the lift

    @cached_property
    def lift_mm(self) -> Floats:
        """Planned lift at the driven axle, mm."""
        return self.v.given("plan.front_lift_mm" if self.kinds.ahead else "plan.rear_lift_mm", 0.0)

    @cached_property
    def leaf(self) -> springs.Leaf:
        """The spring as measured; nan where it is not."""
        v = self.v
        return springs.leaf_of(
            side(v, "suspension.front_eye_mm"),
            side(v, "suspension.shackle_pivot_mm"),
            v["suspension.shackle_length_mm"],
            v["suspension.front_half_mm"],
            v["suspension.rear_half_mm"],
            v["suspension.seat_to_axle_mm"],
            hangs=self.kinds.hangs,
            over=self.kinds.over,
        )

    @cached_property
    def curvature(self) -> Floats:
        """Curvature of the spring as measured, 1/mm; nan where it cannot hold the axle at its measured height."""
        return ride_curvature(self.leaf, self.v["axle.centre_mm.2"])

    @cached_property
    def bar(self) -> links.FourBar:
        """The links as measured; nan where they are not."""
        v = self.v
        ends = ("lower_frame_mm", "lower_axle_mm", "upper_frame_mm", "upper_axle_mm")
        centre = (v["axle.centre_mm.0"], v["axle.centre_mm.2"])
        lower_frame, lower_axle, upper_frame, upper_axle = (side(v, f"suspension.{end}") for end in ends)
        return links.four_bar(lower_frame, lower_axle, upper_frame, upper_axle, centre)

    def sideways(self, dz: Floats, dx: Floats) -> Floats:
        """How far a lateral link draws the axle to the right as it moves, mm; nil where there is none."""
        v = self.v
        if v.word("lateral_link.frame_point_mm") is None and v.word("lateral_link.axle_point_mm") is None:
            return 0.0 * dz
        ends = point(v, "lateral_link.frame_point_mm"), point(v, "lateral_link.axle_point_mm")
        return lateral.side_shift(*ends, dz, dx, v.given("plan.lateral_link_longer_mm", 0.0))

    @cached_property
    def level_deg(self) -> Floats:
        """What the rail's slope makes of every gauge reading, degrees: see `geometry.judge.states`."""
        return level_deg(self.v, ahead=self.kinds.ahead)

    @cached_property
    def axle_level_deg(self) -> Floats:
        """The same of what is read on the axle, which besides was turned by its springs where the loads differed."""
        apart = read_apart_mm(self.v, ahead=self.kinds.ahead)
        if not np.any(apart != 0.0):
            return self.level_deg
        if self.kinds.suspension == "leaf":
            turn = leaf_travel(self.leaf, self.curvature, apart).turn_deg
        elif self.kinds.suspension == "links":
            turn = link_travel(self.bar, apart).turn_deg
        else:
            turn = NAN
        return self.level_deg - np.where(apart == 0.0, 0.0, turn)

    def _tilt_deg(self, up_front_mm: Floats, up_rear_mm: Floats) -> Floats:
        """What the plan's lifts, and how far the axles then stand up, add to every gauge reading, degrees."""
        v = self.v
        rear, front = v.given("plan.rear_lift_mm", 0.0) - up_rear_mm, v.given("plan.front_lift_mm", 0.0) - up_front_mm
        return np.where(front == rear, 0.0, np.arctan((front - rear) / v["vehicle.wheelbase_mm"]) / RADIAN)

    def _ride(self) -> Ride:
        v, kinds = self.v, self.kinds
        tilt = self._tilt_deg(ZERO, ZERO)
        rise = self.lift_mm
        gain = 0.0 * rise if kinds.by == "block" else rise
        still = rise == 0.0
        leaf = bar = None
        curvature, predicted, known = NAN, NAN, np.isfinite(NAN)
        dx = dz = turn = NAN * rise
        if kinds.suspension == "leaf":
            known = np.isfinite(self.curvature)
            predicted = springs.posture(self.leaf, self.curvature).x
            dx, dz, turn, leaf, curvature = lifted(self.leaf, self.curvature, kinds.by, rise)
        elif kinds.suspension == "links":
            bar = self.bar
            known = np.isfinite(sum(bar))
            if kinds.by == "spring":
                path = link_path(bar, -rise)
                dx, dz, turn = path.dx_mm, path.dz_mm, path.turn_deg
        if kinds.by == "block" and kinds.over and kinds.suspension != "links":
            # A block needs no more than the seat's slope.
            slope = (v["readings.seat_slope_deg"] + self.axle_level_deg) * RADIAN
            dx, dz = np.where(known, dx, -rise * np.sin(slope)), np.where(known, dz, -rise * np.cos(slope))
            turn = np.where(known, turn, 0.0 * slope)
        dx, dz, turn = (np.where(still, 0.0, part) for part in (dx, dz, turn))
        shift = Vector(dx, np.where(self._kept, 0.0, self.sideways(dz, dx)), dz)
        links_at = -rise if kinds.by == "spring" else np.where(still, 0.0, NAN)
        made = Ride(
            shift, turn, tilt, rise, gain, predicted, known, leaf, curvature, bar, tilt, ZERO, ZERO, links_at,
        )  # fmt: skip
        return made if self.moved is STILL else self._moved(made)

    @property
    def _kept(self) -> Bools:
        """Rows whose plan leaves the axle where it is from side to side."""
        kept: Bools = (self.lift_mm == 0.0) & (self.v.given("plan.lateral_link_longer_mm", 0.0) == 0.0)
        return kept

    def _moved(self, plan: Ride) -> Ride:
        """The ride in another state: the axle gone up from the planned ride height along its own path."""
        up, other = self.moved.driven_mm, self.moved.other_mm
        front, rear = (up, other) if self.kinds.ahead else (other, up)
        still, shift, curvature = up == 0.0, plan.shift, plan.curvature
        dx = dz = turn = NAN * up
        if plan.leaf is not None:
            dx, dz, turn, curvature = leaf_travel(plan.leaf, plan.curvature, up)
        elif plan.bar is not None:
            here, start = link_travel(plan.bar, plan.along_mm + up), link_travel(plan.bar, plan.along_mm)
            dx, dz, turn = here.dx_mm - start.dx_mm, here.dz_mm - start.dz_mm, here.turn_deg - start.turn_deg
        dx, dz, turn = (np.where(still, 0.0, part) for part in (dx, dz, turn))
        x, z = shift.x + dx, shift.z + dz
        return plan._replace(
            shift=Vector(x, np.where(self._kept & still, 0.0, self.sideways(z, x)), z),
            turn_deg=plan.turn_deg + turn,
            tilt_deg=self._tilt_deg(front, rear),
            stop_gain_mm=plan.stop_gain_mm - up,
            curvature=np.where(still, plan.curvature, curvature),
            up_mm=up,
            up_turn_deg=turn,
            along_mm=plan.along_mm + up,
        )

    # ------------------------------------------------------------------ speeds and torques

    @cached_property
    def speeds(self) -> Speeds:
        """Speeds and torques that reach the shaft."""
        v = self.v
        ratio, radius = v["axle.ratio"], self.tyre_radius_mm
        rolling = self.rolling_radius_mm
        cruise, top = (shaft_speed_rpm(v[f"vehicle.{which}_speed_kmh"], rolling, ratio) for which in ("cruise", "top"))
        gears = v.word("powertrain.gear_ratios", 0)
        first, last = (v[f"powertrain.gear_ratios.{gear}"] for gear in (0, max(gears - 1, 0)))
        peak, through = v["powertrain.peak_torque_nm"], v.given("powertrain.efficiency", 1.0)
        factors = v.given("powertrain.low_range", 1.0) * v.given("powertrain.converter_ratio", 1.0) * through
        low = low_gear_torque_nm(peak, first, factors)
        # What multiplies the torque and is not entered leaves it open upward.
        open_upward = np.isnan(low + v["powertrain.low_range"] + v["powertrain.converter_ratio"])
        low_gear = low, np.where(np.isnan(low), 0.0, low), np.where(open_upward, np.inf, low)
        grip, load = v["vehicle.tyre_grip"], v["vehicle.rear_axle_load_kg"]
        level = wheel_slip_torque_nm(grip, load, radius, ratio, v.given("axle.efficiency", 1.0))
        wheelbase, height = v["vehicle.wheelbase_mm"], v["vehicle.mass_centre_height_mm"]
        transfer = load_transfer(grip, height, wheelbase, ahead=self.kinds.ahead)
        tall = load_transfer(grip, number(TALL_MASS_CENTRE_MM), wheelbase, ahead=self.kinds.ahead)
        known = ~np.isnan(transfer)
        slip = np.where(known, transfer, 1.0) * level
        least = np.where(known, transfer, np.fmin(1.0, tall)) * level
        most = np.where(known, transfer, np.fmax(np.where(np.isnan(tall), np.inf, tall), 1.0)) * level
        most = np.where(np.isnan(v["axle.efficiency"]), most / HYPOID_LOSS, most)
        wheel_slip = slip, np.where(np.isnan(slip), 0.0, least), np.where(np.isnan(slip), np.inf, most)
        torque = launch_torque_nm(low_gear, wheel_slip)
        shock = v.given("powertrain.shock_factor", SHOCK_FACTOR)
        cruise_nm = peak * (last * through) * v.given("powertrain.cruise_torque_share", CRUISE_SHARE)
        omega = cruise * (np.pi / 30.0)
        highest = np.fmin(v["powertrain.redline_rpm"] / last, top)
        return Speeds(cruise, top, highest, low, slip, *torque, shock, cruise_nm, omega * omega)

    @cached_property
    def tyre_radius_mm(self) -> Floats:
        """Loaded radius of the driven axle's tyres, mm."""
        return self.v["vehicle.front_tyre_radius_mm" if self.kinds.ahead else "vehicle.rear_tyre_radius_mm"]

    @cached_property
    def rolling_radius_mm(self) -> Floats:
        """Radius that tells speeds, mm: from the tyres' turns over a road where entered, else the loaded one."""
        turns = self.v["vehicle.tyre_turns_per_km"]
        return np.where(np.isnan(turns), self.tyre_radius_mm, rolling_radius_mm(turns))
