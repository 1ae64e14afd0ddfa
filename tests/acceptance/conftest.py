"""Each sample build, whole, against values worked by other means.

Nothing here comes from the program: joints and lines are laid out with scipy rotations, springs are arcs met by
quadrature and root finding, links are a rigid bracket held at two distances, joints are pins kept square to each other
in space and differentiated by Fourier series, shafts whirl by (bL)² = pi² (Thomson, *Theory of Vibration with
Applications*, p. 283), torques and speeds are plain arithmetic, axle loads a balance of two equations, gaps counted
out.
"""

import json
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from scipy.optimize import brentq, root
from scipy.spatial.transform import Rotation

from geometry import Build, edited, solve
from geometry.document.sides import swapped

WHOLE = [
    "front_axle_lift",
    "lifted_short_shaft",
    "long_van_two_piece",
    "ranch_truck_swap",
    "transfer_case_double_joint",
    "wagon_both_shafts",
    "wagon_both_shafts, front",
]
SHOCK = 1.5
"""What a rough start multiplies the launch torque by where nothing is entered: common practice."""
SERIES_IN = {"1310": (3.219, 1.062), "1330": (3.625, 1.062), "1350": (3.625, 1.188), "1410": (4.188, 1.188)}
"""Span over opposite caps, and cap diameter, inches, by joint series: from memory."""
NODES, WEIGHTS = np.polynomial.legendre.leggauss(30)


# --- joints, springs, links -----------------------------------------------------------------------------------------


def frame_of(slope, plan=0.0):
    return Rotation.from_euler("yz", [slope, plan], degrees=True)


def line(slope, plan=0.0):
    return frame_of(slope, plan).apply([1.0, 0.0, 0.0])


def between(one, other):
    return float(np.degrees(2.0 * np.arctan2(np.linalg.norm(one - other), np.linalg.norm(one + other))))


def gauge(direction):
    return float(np.degrees(np.arcsin(-direction[2])))


def carried(pin, one, other):
    """A yoke's pins taken from one line to the next the shortest way, as an even joint does."""
    axis = np.cross(one, other)
    size = np.linalg.norm(axis)
    return pin if size == 0.0 else Rotation.from_rotvec(axis / size * np.arctan2(size, one @ other)).apply(pin)


def peak(lines, even, phases):
    """Peak acceleration of the last line over omega squared; a cross keeps its two pins square to each other."""
    count = 256
    theta = np.arange(count) * 2.0 * np.pi / count
    start = np.cross(lines[0], [0.0, 1.0, 0.2])
    pin = Rotation.from_rotvec(theta[:, None] * lines[0]).apply(start / np.linalg.norm(start))
    for index in range(len(lines) - 1):
        pin = carried(pin, lines[index], lines[index + 1]) if even[index] else np.cross(lines[index + 1], pin)
        pin /= np.linalg.norm(pin, axis=1)[:, None]
        if index < len(phases):
            pin = Rotation.from_rotvec(np.radians(phases[index]) * lines[index + 1]).apply(pin)
    swing = np.unwrap(np.arctan2(pin @ np.cross(lines[-1], pin[0]), pin @ pin[0])) - theta
    waves = np.fft.rfft(swing)
    fine = np.zeros(8 * count + 1, complex)
    fine[: len(waves)] = -(np.arange(len(waves)) ** 2) * waves * 16.0
    return float(np.abs(np.fft.irfft(fine, 16 * count)).max())


class Leaf:
    """A leaf as an arc from its fixed eye to its shackle, the axle square under its seat."""

    def __init__(self, spring):
        self.spring, self.offset = spring, spring["seat_to_axle_mm"]

    def along(self, arc, curvature, start):
        at = 0.5 * arc * (NODES + 1.0)
        slope = start - curvature * at
        step = 0.5 * arc * WEIGHTS
        x, z = self.spring["front_eye_mm"]
        return np.array([x + step @ np.cos(slope), z - step @ np.sin(slope)])

    def place(self, height):
        """Axle centre (x, z) and slope of the seat, degrees, with the axle at a height."""
        spring = self.spring
        total = spring["front_half_mm"] + spring["rear_half_mm"]

        def centre(curvature, start):
            slope = start - curvature * spring["front_half_mm"]
            off = self.offset * np.array([np.sin(slope), np.cos(slope)])
            return self.along(spring["front_half_mm"], curvature, start) - off, np.degrees(slope)

        def wrong(unknown):
            curvature, start = unknown[0] / 1e3, unknown[1]
            eye = self.along(total, curvature, start)
            shackle = np.hypot(*(eye - spring["shackle_pivot_mm"]))
            return [shackle - spring["shackle_length_mm"], centre(curvature, start)[0][1] - height]

        found = root(wrong, [0.3, 0.2], tol=1e-12).x
        assert np.abs(wrong(found)).max() < 1e-8
        return centre(found[0] / 1e3, found[1])


class Links:
    """The axle as a rigid bracket whose two bolts keep their distances from the frame."""

    def __init__(self, links, centre):
        self.links, self.centre = links, np.array(centre)

    def place(self, height):
        def wrong(unknown):
            at, turn = np.array([self.centre[0] + unknown[0], height]), np.radians(unknown[1])
            spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
            return [
                np.hypot(*(at + spin @ (np.array(bolt) - self.centre) - frame)) - np.hypot(*np.subtract(bolt, frame))
                for bolt, frame in (
                    (self.links["lower_axle_mm"], self.links["lower_frame_mm"]),
                    (self.links["upper_axle_mm"], self.links["upper_frame_mm"]),
                )
            ]

        found = root(wrong, [0.0, 0.0], tol=1e-12).x
        assert np.abs(wrong(found)).max() < 1e-8
        return np.array([self.centre[0] + found[0], height]), found[1]


class Rig:
    """A sample laid out by hand."""

    def __init__(self, raw):
        self.raw, self.axle, self.engine, self.shaft = raw, raw["axle"], raw["powertrain"], raw["shaft"]
        self.ahead = self.axle.get("end") == "front"
        centre = self.axle["centre_mm"]
        flat = (centre[0], centre[2])
        suspension = raw["suspension"]
        self.way = Leaf(suspension) if suspension["kind"] == "leaf" else Links(suspension, flat)
        self.base = self.way.place(centre[2])
        end = "front" if self.ahead else "rear"
        plan = raw.get("plan") or {}
        self.wedge = plan.get("axle_shim_deg") or 0.0
        self.engine_turn = self.tilted(plan.get("mount_shim_mm") or 0.0)
        self.lift = plan.get(f"{end}_lift_mm") or 0.0
        # A block stands between spring and axle: the spring meets the bump stop where it did.
        self.stop_gain = 0.0 if plan.get(f"{end}_lift_by") == "block" else self.lift
        self.low = np.zeros(3)
        if plan.get(f"{end}_lift_by") == "block":
            slope = np.radians(self.base[1])
            self.low = -self.lift * np.array([np.sin(slope), 0.0, np.cos(slope)])
            self.way.offset += self.lift
            # From here the spring carries the axle a block lower; its path starts there.
            self.start = centre[2] + self.low[2]
            self.base = (self.base[0] + self.low[[0, 2]], self.base[1])
        else:
            self.start = centre[2] - self.lift

    def tilted(self, shim):
        """How far a shim under the rear mount tips engine and gearbox about the front mounts, tail down, degrees.

        The rear mount comes up by the shim's thickness; its distance from the front mounts stays.
        """
        front, rear = (self.engine.get(f"{end}_mount_mm") for end in ("front", "rear"))
        if not shim:
            return 0.0
        arm = np.subtract(rear, front)

        def short(turn):
            t = np.radians(turn)
            return -np.sin(t) * arm[0] + np.cos(t) * arm[1] - arm[1] - shim

        return brentq(short, -30.0, 30.0, xtol=1e-13)

    def output(self):
        """Joint at the output, and the output's line, after the shim."""
        turn = Rotation.from_euler("y", self.engine_turn, degrees=True)
        front = self.engine.get("front_mount_mm")
        joint = np.array(self.engine["output_joint_mm"])
        if front is not None:
            hinge = np.array([front[0], joint[1], front[1]])
            joint = hinge + turn.apply(joint - hinge)
        return joint, turn.apply(line(self.engine["slope_deg"], self.engine["plan_deg"]))

    def moved(self, travel, wound=0.0):
        """How far the axle has gone from where it was measured, and turned, at a place of its travel."""
        at, slope = self.way.place(self.start + travel)
        shift = np.array([at[0] - self.base[0][0] + self.low[0], 0.0, travel + self.start - self.axle["centre_mm"][2]])
        link = self.raw.get("lateral_link")
        if link is not None:
            frame, end = np.array(link["frame_point_mm"]), np.array(link["axle_point_mm"])
            x, _, z = end + shift - frame
            across = end[1] - frame[1]
            shift[1] = np.sign(across) * np.sqrt((end - frame) @ (end - frame) - x * x - z * z) - across
        wedge = -self.wedge if self.ahead else self.wedge
        return shift, slope - self.base[1] + wedge + wound

    def centres(self, shift, turn):
        """Joint centres front to rear."""
        axle = self.axle
        lie = frame_of(axle["pinion_slope_deg"], axle.get("pinion_plan_deg", 0.0))
        reach = axle["pinion_length_mm"] * (1.0 if self.ahead else -1.0)
        arm = lie.apply([reach, axle.get("pinion_offset_mm", 0.0), -axle.get("pinion_drop_mm", 0.0)])
        pinion = np.array(axle["centre_mm"]) + shift + Rotation.from_euler("y", turn, degrees=True).apply(arm)
        output, _ = self.output()
        middle = [np.array(self.shaft["bearing_mm"])] if self.shaft["kind"] == "two_piece" else []
        return [pinion, *middle, output] if self.ahead else [output, *middle, pinion]

    def lines(self, shift, turn):
        """All lines front to rear."""
        sections = np.diff(self.centres(shift, turn), axis=0)
        sections = [part / np.linalg.norm(part) for part in sections]
        axle = self.axle
        pinion = Rotation.from_euler("y", turn, degrees=True).apply(
            line(axle["pinion_slope_deg"], axle.get("pinion_plan_deg", 0.0))
        )
        _, output = self.output()
        return [pinion, *sections, output] if self.ahead else [output, *sections, pinion]

    @property
    def parts(self):
        """The joints' names, front to rear."""
        middle = ["centre_joint"] if self.shaft["kind"] == "two_piece" else []
        return ["front_joint", *middle, "rear_joint"]

    @property
    def joints(self):
        return [self.shaft[name] for name in self.parts]

    @property
    def even(self):
        return [joint["type"] != "cardan" for joint in self.joints]

    @property
    def phases(self):
        if self.shaft["kind"] == "two_piece":
            return [self.shaft["front_phase_deg"], self.shaft["rear_phase_deg"]]
        return [self.shaft.get("phase_deg", 0.0)]

    def driven(self, lines, *, coasting=False):
        """Lines, even joints and phases from the driving end to the driven one."""
        even, phases = self.even, self.phases
        if self.ahead != coasting:
            return [-one for one in lines[::-1]], even[::-1], phases[::-1]
        return lines, even, phases

    def residual(self, lines):
        return peak(*self.driven(lines))

    def worst_section(self, lines, *, coasting):
        chain, even, phases = self.driven(lines, coasting=coasting)
        return max(peak(chain[: n + 1], even[:n], phases[: n - 1]) for n in range(1, len(even)))

    # --- arithmetic -------------------------------------------------------------------------------------------------

    @property
    def tyre(self):
        return self.raw["vehicle"]["front_tyre_radius_mm" if self.ahead else "rear_tyre_radius_mm"] / 1e3

    def rpm(self, kmh):
        turns = self.raw["vehicle"].get("tyre_turns_per_km")
        if turns is not None:  # which tell it better than the loaded radius
            return kmh * turns / 60.0 * self.axle["ratio"]
        return kmh / 3.6 / self.tyre * self.axle["ratio"] * 30.0 / np.pi

    @property
    def torques(self):
        """Low-gear, wheel-slip and cruise torque, N·m."""
        engine = self.engine
        low = engine["peak_torque_nm"] * engine["gear_ratios"][0] * engine["low_range"] * engine["efficiency"]
        cruise = engine["peak_torque_nm"] * engine["gear_ratios"][-1] * engine["efficiency"]
        grip = self.grip_n * self.tyre / (self.axle["ratio"] * self.axle["efficiency"])
        return low, grip, cruise * engine["cruise_torque_share"]

    @property
    def grip_n(self):
        """Pull of the driven tyres at their limit, N: load N and pull F of N = W ± F h/l and F = mu N."""
        vehicle = self.raw["vehicle"]
        arm = vehicle["mass_centre_height_mm"] / vehicle["wheelbase_mm"]
        sense = -1.0 if self.ahead else 1.0
        weight = vehicle["rear_axle_load_kg"] * 9.80665
        _, pull = np.linalg.solve([[1.0, -sense * arm], [-vehicle["tyre_grip"], 1.0]], [weight, 0.0])
        return pull

    @property
    def launch(self):
        """Launch torque, N·m: what engine or tyres allow."""
        return min(self.torques[:2])

    @property
    def stiffness(self):
        """Couple on both springs for a degree: each half a cantilever as stiff as 1/length³ (beam theory)."""
        spring = self.raw["suspension"]
        a, b = spring["front_half_mm"] / 1e3, spring["rear_half_mm"] / 1e3
        bending = spring["rate_n_per_mm"] * 1e3 * a**2 * b**2 / (a + b)
        return 2.0 * (a + b) ** 2 / (a**3 / bending + b**3 / bending) * np.pi / 180.0

    @property
    def cruise_turn(self):
        return self.torques[2] * self.axle["ratio"] / self.stiffness if isinstance(self.way, Leaf) else 0.0

    @property
    def launch_turn(self):
        """As far as the springs give, or until a torque bar's play and an eighth of an inch in its bushes are used."""
        free = self.launch * self.axle["ratio"] / self.stiffness if isinstance(self.way, Leaf) else 0.0
        shift, turn = self.moved(0.0)
        centre = np.array(self.axle["centre_mm"])
        cosine, sine = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        for one in self.raw.get("torque_bars", []):
            x, _, z = np.subtract(one["axle_point_mm"], centre)
            eye = centre[[0, 2]] + np.array(shift)[[0, -1]] + (x * cosine + z * sine, z * cosine - x * sine)
            frame, middle = np.array(one["frame_point_mm"])[[0, 2]], centre[[0, 2]] + np.array(shift)[[0, -1]]
            along = (eye - frame) / np.linalg.norm(eye - frame)
            lever = abs(along[0] * (middle - frame)[1] - along[1] * (middle - frame)[0])
            free = min(free, np.degrees((one["float_mm"] + 3.2) / lever))
        return free

    def swing(self, section):
        """Diameter that the wider of a section's two joints sweeps at the least: outer corners of its caps, mm."""
        return max(25.4 * np.hypot(*SERIES_IN[joint["series"]]) for joint in self.joints[section : section + 2])

    def engaged(self, lengths):
        """Spline inside its sleeve with the sections so long; the engagement entered is the measured vehicle's."""
        bare = Rig({**self.raw, "plan": None})
        beside = 0 if self.ahead else -1
        before = np.linalg.norm(np.diff(bare.centres(np.zeros(3), 0.0), axis=0), axis=1)
        return self.shaft["slip"]["engaged_mm"] - (lengths[beside] - before[beside])

    def places(self, count=161):
        """Places of the travel from full droop to the bump rubber pressed flat, mm."""
        spring = self.raw["suspension"]
        touch = max(spring["bump_mm"] + self.stop_gain, 0.0)
        return np.linspace(-spring["droop_mm"], touch + spring["bump_squash_mm"], count)

    def tubes(self):
        return [self.shaft["tube"]] if self.shaft["kind"] == "one_piece" else [
            self.shaft["front_tube"], self.shaft["rear_tube"],
        ]  # fmt: skip


def whirl(tube, length_mm):
    """First critical speed, rpm: (bL)² = pi² for pinned ends, steel of 207 GPa and 7,850 kg/m³."""
    outer, inner = tube["outer_diameter_mm"] / 1e3, tube["outer_diameter_mm"] / 1e3 - tube["wall_mm"] / 500.0
    gyration = np.sqrt(outer**2 + inner**2) / 4.0
    return np.sqrt(207e9 / 7850.0) * gyration * (np.pi / (length_mm / 1e3)) ** 2 * 30.0 / np.pi


def shear(tube, torque):
    """Stress at the outer fibre, MPa: 16 T D/(pi (D⁴ - d⁴))."""
    outer, inner = tube["outer_diameter_mm"], tube["outer_diameter_mm"] - 2.0 * tube["wall_mm"]
    return 16.0 * torque * 1e3 * outer / (np.pi * (outer**4 - inner**4))


def shaft_body(pair, view, tube, swing):
    """The tube, and both yokes: a swing across from half of it before the joint to 0.6 behind, then a taper."""
    ends = pair[:, view]
    half = tube["outer_diameter_mm"] / 2.0
    bodies = [shapely.LineString(ends).buffer(half, cap_style="flat")]
    for joint, other in (ends, ends[::-1]):
        along = (other - joint) / np.linalg.norm(other - joint)
        across = np.array([-along[1], along[0]])
        profile = [(-0.5 * swing, 0.5 * swing), (0.6 * swing, 0.5 * swing), (swing, half)]
        edge = [joint + at * along + wide * across for at, wide in profile]
        edge += [joint + at * along - wide * across for at, wide in reversed(profile)]
        bodies.append(shapely.Polygon(edge))
    return shapely.union_all(bodies)


# --- what the tests are given ---------------------------------------------------------------------------------------


def plain(build):
    """A build as the plain data of its file."""
    return json.loads(build.model_dump_json())


def answered(build):
    return json.loads(solve(build).model_dump_json())


def loaded(name):
    stem, _, other = name.partition(", ")
    path = Path(__file__).parents[2] / "sample_builds" / f"{stem}.json"
    whole = Build.model_validate_json(path.read_text(encoding="utf-8"))
    whole = swapped(whole) if other else whole
    build = edited(whole, {"state": None, "use": None})  # as measured: how the states stand is proved by themselves
    return plain(build), answered(build)


@pytest.fixture(scope="module", params=WHOLE)
def case(request):
    raw, answer = loaded(request.param)
    return Rig(raw), answer


@pytest.fixture(scope="module")
def recommended(case):
    """The sample with the first remedy of its first finding that has one, laid out by hand, and both answers."""
    rig, answer = case
    changes = next((one["remedy"]["changes"] for one in answer["findings"] if one["remedy"] is not None), {})
    build = edited(
        Build.model_validate_json(json.dumps(rig.raw)),
        {path: tuple(value) if isinstance(value, list) else value for path, value in changes.items()},
    )
    return Rig(plain(build)), answer, answered(build)


@pytest.fixture(scope="session")
def by_hand():
    """The helpers above, for tests that lay something out for themselves."""
    return SimpleNamespace(
        between=between, gauge=gauge, line=line, links=Links, loaded=loaded, peak=peak, shaft_body=shaft_body,
        shear=shear, shock=SHOCK, whirl=whirl, whole=WHOLE,
    )  # fmt: skip
