"""What the findings are judged from: the document's entries bound to the mechanics, for a block of variants at once.

The only room that knows both the entries' paths and the mechanics. Every value is one number or (rows,); before that
axis may stand states (at rest, wound up by cruise torque, by launch torque) or places of the travel. What is not known
is nan. What only some findings want is worked out when it is first asked for.
"""

from collections.abc import Collection, Mapping
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np

from geometry.document.entries import Variants
from geometry.document.sides import SECOND
from geometry.judge.carried import Carried
from geometry.judge.codes import Key
from geometry.judge.fitted import Fitted
from geometry.judge.in_the_way import InTheWay
from geometry.judge.kept import leaf_path, link_path
from geometry.judge.kinds import Kinds, kinds_of
from geometry.judge.limits import LIMITS, SQUASH_MM
from geometry.judge.line_facts import PLAN, LineFacts
from geometry.judge.shapes import GapFacts, MadeLength, Ride, Sweep, Travelled, TubeFacts, shares_of
from geometry.judge.states import STILL, Moved, State, states_of
from geometry.mechanics import springs
from geometry.mechanics.chain import Chain, peaks
from geometry.mechanics.loads import windup_deg
from geometry.mechanics.pose import Pose, posed
from geometry.mechanics.root import least_on_the_way
from geometry.mechanics.tube import (
    MATERIALS,
    SHEAR_OF_YIELD,
    critical_speed_rpm,
    shear_stress_mpa,
    spin_inertia_kg_m2,
    tube_mass_kg,
    tube_section,
    twist_deg,
)
from geometry.mechanics.vectors import (
    NAN,
    RADIAN,
    ZERO,
    Bools,
    Floats,
    Vector,
    cross,
    dot,
    norm,
)

_ALIKE = (0, 1)
"""Sweeps of the travel where no torque turns the axle."""
DOUBTS = np.array([-1.0, -0.75, -0.5, -0.25, 0.25, 0.5, 0.75, 1.0])[:, None]
"""Shares of the band that gauge and tape leave open at which the residual is looked at, besides its middle."""
_ON_THE_WAY = np.linspace(0.0, 1.0, 9)[:-1, None]
"""Shares of the wind-up by cruise torque at which a bar that is not entered whole is looked at."""
_LINK = ("plan.lateral_link_longer_mm",)
_POWERTRAIN = (
    "plan.mount_shim_mm", "plan.powertrain_slope_deg", "plan.powertrain_shift_mm.0", "plan.powertrain_shift_mm.1",
    "powertrain.plan_deg", "plan.output_adapter_mm", f"{SECOND}plan.powertrain_slope_deg",
)  # fmt: skip
_AXLE = ("plan.axle_shim_deg", "plan.pinion_slope_deg", "axle.pinion_plan_deg", "axle.pinion_offset_mm",
         "axle.pinion_drop_mm", "plan.pinion_adapter_mm", *_LINK)  # fmt: skip
_SHARED: Mapping[str, Collection[str]] = {
    "ride": _LINK, "sweep": _LINK, "lift_mm": (),
    "speeds": ("powertrain.cruise_torque_share",), "cruise_deg": ("powertrain.cruise_torque_share",),
    "stiffness_nm_per_deg": (), "launch_deg": (), "launch_most_deg": (), "launch_certain": (), "tyre_radius_mm": (),
    "states": (), "level_deg": (), "axle_level_deg": (),
    "output_line": ("powertrain.plan_deg",), "flat": PLAN, "powertrain": _POWERTRAIN, "axle": _AXLE,
    "pose": (*_POWERTRAIN, *_AXLE, "shaft.bearing_mm.2"),
    "measured": (
        "shaft.bearing_mm.2", "powertrain.plan_deg", "axle.pinion_plan_deg", "axle.pinion_offset_mm",
        "axle.pinion_drop_mm",
    ),
}  # fmt: skip
"""Facts that what is tried about a plan leaves as they are, but for a change of these entries."""
_SHARED_BY_STATES = {
    name: paths for name, paths in _SHARED.items() if name not in {"ride", "sweep", "axle", "pose"}
}  # fmt: skip
"""Those of them that are the same in whatever state the vehicle is."""
_HELD = frozenset({"cruise_deg", "launch_deg", "launch_most_deg", "launch_certain"})
"""Those of them that a torque bar has a part in, and with it whatever moves its ends."""


_AS_MEASURED = ("measured", "output_line", "unplaced", "flat", "level_deg", "axle_level_deg", "curvature", "leaf")
"""Facts that are the same with a plan and without."""
_SEEN = ("pose", "rest_chain", "rest_peaks")
"""Facts at ride height that those of all states have as well."""


def _first(part: Any, rows: int) -> Any:
    """The first rows of arrays in however many tuples and lists."""
    if isinstance(part, np.ndarray):
        return part[..., :rows] if part.ndim else part
    if isinstance(part, tuple) and hasattr(part, "_fields"):
        return type(part)(*(_first(one, rows) for one in part))
    return type(part)(_first(one, rows) for one in part) if isinstance(part, list | tuple) else part


def _at_rest(poses: Pose) -> Pose:
    """The first sweep of poses, (places, rows); what is the same in all sweeps has no axis of them."""

    def one(part: Floats) -> Floats:
        return part[0] if part.ndim == 3 else part

    def whole(vector: Vector) -> Vector:
        return Vector(one(vector.x), one(vector.y), one(vector.z))

    return Pose(
        poses.output,
        whole(poses.pinion),
        tuple(map(whole, poses.sections)),
        tuple(map(whole, poses.joints)),
        tuple(map(one, poses.lengths_mm)),
        whole(poses.axle_centre),
    )


class Facts(LineFacts):
    """Everything about a block of variants, at ride height and, when asked for, over the travel."""

    def __init__(
        self, v: Variants, positions: int = 0, like: "Facts | None" = None, moved: Moved = STILL, *, leads: bool = False
    ) -> None:
        """Of some variants with so many places of the travel; `like` is the plan that they are small changes of.

        With a plan to compare with, a gap that is wide enough in both is only told to be at least so wide; it is the
        first row of `like`, or where that `leads` the first of these. `moved` is how far the axles stand up from where
        the plan puts them, in another state than the one in which it is set.
        """
        self.v, self.positions, self.like, self.moved, self.leads = v, positions, like, moved, leads
        self.kinds: Kinds = kinds_of(v) if like is None else like.kinds
        shared: dict[str, Any] = {}
        changed = frozenset(v.columns)
        if like is not None:
            for name, paths in (_SHARED if moved is like.moved else _SHARED_BY_STATES).items():
                if name in _HELD and like.v.word("torque_bars"):
                    continue
                if name == "powertrain" and not moved.mounts_as(like.moved):
                    continue
                if changed.isdisjoint(paths) and (name != "sweep" or 0 < positions == like.positions):
                    shared[name] = getattr(like, name)
        self.__dict__.update(shared)
        self.gauged = v.rows
        """How many of the first rows are asked whether gauge and tape can tell their verdicts."""
        self.turned_by: dict[Key, dict[str, Bools]] = {}
        """Of few rows: which entry that is taken for granted makes a finding unknown in which of them."""
        ride = shared.get("ride")
        if ride is None and like is not None and like.moved is STILL and changed.isdisjoint(_LINK):
            ride = self._moved(like.ride)
        self.ride: Ride = ride or self._ride()

    def seen(self, there: "Facts") -> None:
        """Take over how lines and joints lie from facts whose first rows are these."""
        rows = self.v.rows
        for name in _SEEN:
            self.__dict__[name] = _first(getattr(there, name), rows)
        self.turned_by = {key: {path: does[:rows] for path, does in by.items()} for key, by in there.turned_by.items()}

    def unplanned(self) -> "Facts":
        """The same vehicle without its plan, one row, at ride height; what hangs on no plan is taken over."""
        bare = Facts(self.v.unplanned())
        bare.__dict__.update({name: self.__dict__[name] for name in _AS_MEASURED if name in self.__dict__})
        return bare

    @property
    def plan(self) -> "Facts | None":
        """Facts in whose first row the plan stands that these are changes of, if any: these, or what they are like."""
        return self if self.leads or self.v.rows == 1 else self.like

    @cached_property
    def states(self) -> tuple[State, ...]:
        """The states that the vehicle is used in, as measured first; nowhere else than there where it hung."""
        return states_of(self.v, ahead=self.kinds.ahead)

    # ------------------------------------------------------------------ torque on the springs

    @cached_property
    def stiffness_nm_per_deg(self) -> Floats:
        """Couple that turns the axle on both its leaf springs by a degree, N·m; nan without, for links too."""
        v = self.v
        if self.kinds.suspension != "leaf":
            return NAN
        halves = v["suspension.front_half_mm"], v["suspension.rear_half_mm"]
        return 2.0 * springs.windup_stiffness_nm_per_rad(v["suspension.rate_n_per_mm"], *halves) * RADIAN

    def windup_deg(self, torque_nm: Floats) -> Floats:
        """How far a torque in the shaft turns the axle: nil on rigid links, nan where that is not known."""
        if self.kinds.suspension == "links":
            return ZERO if self.kinds.rigid else NAN
        return windup_deg(torque_nm, self.v["axle.ratio"], self.stiffness_nm_per_deg)

    @cached_property
    def cruise_deg(self) -> Floats:
        """Wind-up by cruise torque, degrees."""
        return self.held_windup_deg(self.speeds.cruise_nm)

    def held_windup_deg(self, torque_nm: Floats) -> Floats:
        """How far a torque in the shaft turns the axle until a torque bar that is entered whole holds it, degrees."""
        return np.minimum(self.windup_deg(torque_nm), self.fitted.held_deg)

    @cached_property
    def launch_deg(self) -> Floats:
        """Wind-up by launch torque as reckoned, degrees."""
        return self.held_windup_deg(self.speeds.torque_nm)

    @cached_property
    def launch_most_deg(self) -> Floats:
        """Wind-up by the most that the launch torque may be, degrees; nan where that has no end."""
        turn = self.held_windup_deg(self.speeds.torque_most_nm)
        return np.where(np.isinf(turn), NAN, turn)

    @cached_property
    def launch_certain(self) -> Bools:
        """Rows whose wind-up at launch is settled by what is entered: torque, and torque bars."""
        same = self.speeds.torque_least_nm == self.speeds.torque_most_nm
        certain: Bools = (same & ~self.fitted.bars_open) | (self.launch_most_deg == 0.0)
        return certain

    @cached_property
    def cruise_residual(self) -> Floats:
        """Peak acceleration at the pinion with the axle wound up by cruise torque, over omega squared."""
        return self.wound_residual(self.cruise_deg)

    @cached_property
    def doubted_residual(self) -> Floats:
        """The same as `cruise_residual` at turns in the band of gauge and tape, (turns, `gauged` rows)."""
        band = self.band_deg * DOUBTS
        if self.gauged < self.v.rows:
            return self.wound_residual(_first(band, self.gauged), self.gauged)
        turns = np.empty((len(DOUBTS) + 1, self.v.rows))
        turns[0], turns[1:] = self.cruise_deg, band
        residual = self.wound_residual(turns)
        self.__dict__["cruise_residual"] = residual[0]
        return residual[1:]

    @cached_property
    def cruise_residuals(self) -> tuple[Floats, ...]:
        """What that may be where a bar may hold the axle anywhere on the way, as it is not entered whole."""
        if not np.any(self.fitted.bars_open):
            return ()
        turns = _ON_THE_WAY * np.where(self.fitted.bars_open, self.cruise_deg, 0.0)
        found = self.wound_residual(turns)
        return tuple(np.where(self.fitted.bars_open, found, self.cruise_residual))

    def wound_residual(self, turn_deg: Floats, first: int | None = None) -> Floats:
        """Peak acceleration at the pinion with the axle turned further, over omega squared; of the first rows alone."""
        chain = self.chain(self.posed_at(turn_deg)) if first is None else self.turned(turn_deg, first)
        return peaks(chain, self.even, last_only=True)[-1]

    def turned(self, turn_deg: Floats, rows: int) -> Chain:
        """The joints of the first rows with the axle turned further."""
        angle = turn_deg * RADIAN
        pose = posed(
            *_first((self.powertrain, self.axle, self.bearing, self.planned_stick), rows), ahead=self.kinds.ahead,
            by_stick=_first(self.by_stick, rows), cosine=np.cos(angle), sine=np.sin(angle),
        )  # fmt: skip
        return self.chain(pose, _first(self.phases_deg, rows))

    @cached_property
    def fitted(self) -> Fitted:
        """Shocks, torque bars and links between frame and axle."""
        return Fitted(self)

    # ------------------------------------------------------------------ the tubes

    @cached_property
    def tubes(self) -> tuple[TubeFacts, ...]:
        """Each section's tube, front to rear."""
        return tuple(
            self._tube(*named, length) for named, length in zip(self.kinds.tubes, self.lengths_mm, strict=True)
        )

    def _tube(self, name: str, entry: str, length: Floats) -> TubeFacts:
        v, torque = self.v, self.speeds.torque_nm * self.speeds.shock
        material = MATERIALS[v.word(f"{entry}.material", "steel")]
        section = tube_section(v[f"{entry}.outer_diameter_mm"], v[f"{entry}.wall_mm"])
        length = np.where(length > 0.0, length, NAN)
        return TubeFacts(
            name, entry, material, section, length, critical_speed_rpm(section, material, length),
            v.given(f"{entry}.yield_mpa", material.yield_mpa) * (material.weld_share * SHEAR_OF_YIELD),
            shear_stress_mpa(section, torque), twist_deg(section, material, length, torque),
            tube_mass_kg(section, material, length), spin_inertia_kg_m2(section, material, length),
        )  # fmt: skip

    # ------------------------------------------------------------------ the travel

    @cached_property
    def sweep(self) -> Sweep:
        """The axle over its travel; nowhere reachable where suspension or stops are not known."""
        v, ride = self.v, self.ride
        share = shares_of(self.positions)
        droop = v["suspension.droop_mm"] + ride.up_mm
        bump = np.maximum(v["suspension.bump_mm"] + ride.stop_gain_mm, 0.0)
        squash = v.given("suspension.bump_squash_mm", SQUASH_MM)
        travel = np.where(
            share <= 0.0, share * droop, np.minimum(share, 1.0) * bump + np.maximum(share - 1.0, 0.0) * squash
        )
        # Without both stops nothing is known of the travel: half of it would be judged as the whole.
        travel = travel + 0.0 * (droop + bump)
        nothing = (NAN * travel, NAN * travel)
        lower = upper = nothing
        curvature = dx = dz = turn = NAN * travel
        if ride.leaf is not None:
            dx, dz, turn, curvature = leaf_path(ride.leaf, ride.curvature, travel)
        elif ride.bar is not None:
            here, start = link_path(ride.bar, travel + ride.along_mm), link_path(ride.bar, ride.along_mm)
            dx, dz, turn = here.dx_mm - start.dx_mm, here.dz_mm - start.dz_mm, here.turn_deg - start.turn_deg
            lower, upper = (here.lower_x, here.lower_z), (here.upper_x, here.upper_z)
        across = self.sideways(dz + ride.shift.z, dx + ride.shift.x) - ride.shift.y
        shift = Vector(dx, across, dz)
        return Sweep(travel, shift, turn, np.isfinite(dx + across + dz), curvature, lower, upper)

    @cached_property
    def travels(self) -> Bools:
        """Rows whose axle can be moved from ride height, (rows,) or one for all."""
        return np.asarray(self.sweep.reachable.any(axis=0)) if self.positions else np.zeros((), np.bool_)

    @cached_property
    def launch_settled(self) -> Bools:
        """Rows whose wind-up at launch is settled, and is known."""
        return np.asarray(self.launch_certain & np.isfinite(self.launch_most_deg))

    @cached_property
    def missed_mm(self) -> Floats:
        """How much the parabola over a wind-up that is not settled may miss of the shaft's length on the way, mm.

        By three points h apart a cubic is missed by its third derivative times h³/(9 √3); a length that an arm turns
        has up to twice the arm. Nothing where the wind-up is settled, and small: 0.01 mm at 9°, but 4 mm at 54°.
        """
        arm, half = np.hypot(self.axle.arm.x, self.axle.arm.z), self.launch_most_deg * (RADIAN / 2.0)
        return np.where(self.launch_certain, 0.0, 2.0 * arm * half**3 / (9.0 * 3.0**0.5))

    @property
    def numbered(self) -> Floats:
        """Nil, or nan where torque surely winds the axle up and nobody knows how far: then nothing has a number."""
        return np.where(self.launch_certain & ~self.launch_settled, NAN, 0.0)

    @cached_property
    def wound_deg(self) -> Floats:
        """Wind-up of each sweep of the travel, degrees, (sweeps, 1, rows or 1): none, the most, and half of it."""
        shares = (0.0, 1.0) if np.all(self.launch_most_deg == 0.0) else (0.0, 1.0, 0.5)
        wound: Floats = np.array(shares)[:, None, None] * self.launch_most_deg
        wound[0] = 0.0
        return wound

    def wound_up(self, turn_deg: Floats) -> tuple[Floats, Floats]:
        """Cosine and sine of turns, (places, rows), with each sweep's wind-up besides, (sweeps, places, rows)."""
        turn, wound = turn_deg * RADIAN, self.wound_deg * RADIAN
        (cosine, sine), (further, aside) = (np.cos(turn), np.sin(turn)), (np.cos(wound), np.sin(wound))
        return cosine * further - sine * aside, sine * further + cosine * aside

    @cached_property
    def travelled(self) -> Travelled:
        """Lines and joints over the travel, at rest and wound up by launch torque."""
        sweep = self.sweep
        poses = self.posed_by(*self.wound_up(sweep.turn_deg), sweep.shift, np.zeros((), np.bool_))
        lines = [poses.output, *poses.sections, poses.pinion]
        if self.kinds.ahead:
            lines = [poses.pinion, *poses.sections, poses.output]
        pairs = list(pairwise(lines))
        cosines = [dot(one, two) for one, two in pairs]
        # None of the joints is known where one line is not.
        known = 0.0 * sum(cosines[1:], cosines[0])
        bent = tuple(
            np.arctan2(norm(cross(*pair)), cosine + known) / RADIAN for pair, cosine in zip(pairs, cosines, strict=True)
        )
        squashed = np.isfinite(self.v["suspension.bump_squash_mm"])
        return Travelled(sweep, poses, _at_rest(poses), bent, (shares_of(self.positions) <= 1.0) | squashed)

    @staticmethod
    def over_windup(values: Floats) -> tuple[Floats, Floats]:
        """A value at rest, and its least from there to the most wind-up: (sweeps, places, rows) to (places, rows) each.

        Launch winds the axle through all that lies between, so a dip on the way counts too.
        """
        if len(values) == len(_ALIKE):
            return values[0], np.minimum(values[0], values[1])
        return values[0], least_on_the_way(values[0], values[2], values[1])

    def worst_of(self, values: Floats) -> tuple[Floats, tuple[Floats, ...]]:
        """Least of a value over the travel, (sweeps, places, rows), and what it may be besides for want of entries.

        Launch counts where its wind-up is settled. Places that only a usual squash of the bump rubber reaches, and a
        wind-up that is not settled, may only turn the verdict to unknown; that may be any up to its most.
        """
        certain = self.travelled.certain
        still, wound = self.over_windup(values)
        ever: Floats = np.fmin.reduce(wound, axis=0)
        at_rest: Floats = np.fmin.reduce(still, axis=0)
        surely = ever
        if not certain.all():
            at_rest = np.fmin.reduce(np.where(certain, still, NAN), axis=0)
            surely = np.fmin.reduce(np.where(certain, wound, NAN), axis=0)
        value: Floats = np.where(self.launch_settled, surely, at_rest)
        return value, (surely, ever)

    @cached_property
    def in_the_way(self) -> InTheWay:
        """What moves, and how near it comes to what is in the way."""
        return InTheWay(self)

    @cached_property
    def carried(self) -> Carried:
        """Outlines that axle or engine carry, and how near they come to what is fixed elsewhere."""
        return Carried(self)

    def gap(self, index: int) -> GapFacts:
        """Least gap to one obstacle, over the travel where that is known, else at ride height."""
        return self.in_the_way.gap(index)

    @cached_property
    def travelled_engaged_mm(self) -> Floats:
        """Spline inside its sleeve over the travel, (sweeps, places, rows)."""
        return self.engaged_mm(self.travelled.poses)

    def engaged_mm(self, pose: Pose) -> Floats:
        """Spline inside its sleeve; the engagement entered is the measured vehicle's, so its length is what counts."""
        beside = self.kinds.beside_axle
        return self.v["shaft.slip.engaged_mm"] - (pose.lengths_mm[beside] - self.measured.lengths_mm[beside])

    @cached_property
    def engaged_at_ride_mm(self) -> Floats:
        """The same at ride height; by stick and tape as entered, less what a block draws the shaft out."""
        engaged, entered = self.engaged_mm(self.pose), self.v["shaft.slip.engaged_mm"]
        engaged = np.where(np.isnan(engaged) & self.stood, entered, engaged)
        if not self.by_block.any():
            return engaged
        return np.where(self.by_block, entered - (self.lengths_mm[0] - self.v["readings.shaft_length_mm"]), engaged)

    @cached_property
    def made(self) -> MadeLength:
        """The length to make the section that slips, what the travel asks of it, and how far off it may be."""
        beside, v = self.kinds.beside_axle, self.v
        stroke, spline = v["shaft.slip.stroke_mm"], v["shaft.slip.spline_diameter_mm"]
        ride, engaged = self.lengths_mm[beside], self.engaged_at_ride_mm
        least = most = droop = bump = NAN
        if self.travels.any():
            moved = self.travelled
            lengths = moved.poses.lengths_mm[beside]
            least, most = self.worst_of(lengths)[0] + self.numbered, self.numbered - self.worst_of(-lengths)[0]
            at_droop, at_bump = (int(np.argmax(shares_of(self.positions) == share)) for share in (-1.0, 1.0))
            droop, bump = (moved.rest.lengths_mm[beside][place] for place in (at_droop, at_bump))
        collapsed, extended = ride - (stroke - engaged), ride + engaged
        longer = least - collapsed - LIMITS["slip_left"].clear
        shorter = extended - most - LIMITS["slip_engaged"].clear * spline
        return MadeLength(ride, least, most, droop, bump, collapsed, extended, longer, shorter)
