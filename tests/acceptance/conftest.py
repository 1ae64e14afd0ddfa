"""Each sample build, whole, against values worked by other means.

Nothing here comes from the program: joints and lines are laid out with scipy rotations, springs are arcs met by
quadrature and root finding, links are a rigid bracket held at two distances, joints are pins kept square to each other
in space and differentiated by Fourier series, shafts whirl by (bL)² = pi² (Thomson, *Theory of Vibration with
Applications*, p. 283), torques and speeds are plain arithmetic, set-points are minimised by scipy, gaps counted out.
"""

import json
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from scipy.optimize import brentq, minimize_scalar, root
from scipy.spatial.transform import Rotation

from geometry import Build, solve

WHOLE = [
    "front_axle_lift",
    "lifted_short_shaft",
    "long_van_two_piece",
    "ranch_truck_swap",
    "transfer_case_double_joint",
]
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
        plan = raw.get("plan", {})
        self.lift = plan.get(f"{end}_lift_mm", 0.0)
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

    def moved(self, travel):
        """How far the axle has gone from where it was measured, and turned, at a place of its travel."""
        at, slope = self.way.place(self.start + travel)
        shift = np.array([at[0] - self.base[0][0] + self.low[0], 0.0, travel + self.start - self.axle["centre_mm"][2]])
        link = self.raw.get("lateral_link")
        if link is not None:
            frame, end = np.array(link["frame_point_mm"]), np.array(link["axle_point_mm"])
            x, _, z = end + shift - frame
            across = end[1] - frame[1]
            shift[1] = np.sign(across) * np.sqrt((end - frame) @ (end - frame) - x * x - z * z) - across
        return shift, slope - self.base[1]

    def centres(self, shift, turn):
        """Joint centres front to rear."""
        axle = self.axle
        lie = frame_of(axle["pinion_slope_deg"], axle.get("pinion_plan_deg", 0.0))
        reach = axle["pinion_length_mm"] * (1.0 if self.ahead else -1.0)
        arm = lie.apply([reach, axle.get("pinion_offset_mm", 0.0), -axle.get("pinion_drop_mm", 0.0)])
        pinion = np.array(axle["centre_mm"]) + shift + Rotation.from_euler("y", turn, degrees=True).apply(arm)
        output = np.array(self.engine["output_joint_mm"])
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
        output = line(self.engine["slope_deg"], self.engine["plan_deg"])
        return [pinion, *sections, output] if self.ahead else [output, *sections, pinion]

    @property
    def joints(self):
        names = ["front_joint", "centre_joint", "rear_joint"] if self.shaft["kind"] == "two_piece" else [
            "front_joint", "rear_joint",
        ]  # fmt: skip
        return [self.shaft[name] for name in names]

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
        return kmh / 3.6 / self.tyre * self.axle["ratio"] * 30.0 / np.pi

    @property
    def torques(self):
        """Low-gear, wheel-slip and cruise torque, N·m."""
        engine, vehicle = self.engine, self.raw["vehicle"]
        low = engine["peak_torque_nm"] * engine["gear_ratios"][0] * engine["low_range"] * engine["efficiency"]
        grip = vehicle["tyre_grip"] * vehicle["rear_axle_load_kg"] * 9.80665 * self.tyre
        cruise = engine["peak_torque_nm"] * engine["gear_ratios"][-1] * engine["efficiency"]
        return low, grip / (self.axle["ratio"] * self.axle["efficiency"]), cruise * engine["cruise_torque_share"]

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

    def best_pinion(self):
        """Pinion slope at rest with which the residual at cruise is least.

        A single joint opposite an even one has half a degree at least, at rest and at cruise, on the side that torque
        turns it away from: a rear axle's nose low of straight, a front one's high.
        """
        shift, turn = self.moved(0.0)
        sense = -1.0 if self.ahead else 1.0  # a wedge that raises the nose: of a front axle it lowers the slope

        def lines(wedge, wound=self.cruise_turn):
            return self.lines(shift, turn + sense * wedge + wound)

        if any(self.even):
            single = self.even.index(False)
            states = []
            for wound in (0.0, self.cruise_turn):

                def angle(wedge, wound=wound):
                    chain = lines(wedge, wound)
                    return between(chain[single], chain[single + 1])

                straight = minimize_scalar(angle, bounds=(-20.0, 20.0), method="bounded").x
                rolls = angle(straight) >= 0.5
                side = 3.0 if self.ahead else -3.0
                off = straight if rolls else brentq(lambda w, a=angle: a(w) - 0.5, straight + side, straight)
                states.append((off, straight))
            # Straight at cruise where that rolls in both states, else as near to it as both states allow.
            wedge = states[1][1]
            if min(between(*lines(wedge, wound)[single : single + 2]) for wound in (0.0, self.cruise_turn)) < 0.5:
                wedge = (max if self.ahead else min)(off for off, _ in states)
        else:
            tries = np.arange(-12.0, 12.1, 0.25)
            values = np.array([self.residual(lines(wedge)) for wedge in tries])
            valleys = [n for n in range(1, len(tries) - 1) if values[n] <= min(values[n - 1], values[n + 1])]
            near = tries[min(valleys, key=lambda n: abs(tries[n]))]
            wedge = minimize_scalar(
                lambda wedge: self.residual(lines(wedge)) ** 2, bounds=(near - 0.25, near + 0.25), method="bounded",
                options={"xatol": 1e-5},
            ).x  # fmt: skip
        resting = self.lines(shift, turn + sense * wedge)
        return gauge(resting[0 if self.ahead else -1])

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


def shaft_body(pair, view, tube):
    """The tube, and both yokes: 1.4 tubes across from half of that before the joint to 0.6 behind, then a taper."""
    ends = pair[:, view]
    half = tube["outer_diameter_mm"] / 2.0
    swing = 2.8 * half
    bodies = [shapely.LineString(ends).buffer(half, cap_style="flat")]
    for joint, other in (ends, ends[::-1]):
        along = (other - joint) / np.linalg.norm(other - joint)
        across = np.array([-along[1], along[0]])
        profile = [(-0.5 * swing, 1.4 * half), (0.6 * swing, 1.4 * half), (swing, half)]
        edge = [joint + at * along + wide * across for at, wide in profile]
        edge += [joint + at * along - wide * across for at, wide in reversed(profile)]
        bodies.append(shapely.Polygon(edge))
    return shapely.union_all(bodies)


# --- what the tests are given ---------------------------------------------------------------------------------------


def loaded(name):
    path = Path(__file__).parents[2] / "sample_builds" / f"{name}.json"
    text = path.read_text(encoding="utf-8")
    return json.loads(text), json.loads(solve(Build.model_validate_json(text)).model_dump_json())


@pytest.fixture(scope="module", params=WHOLE)
def case(request):
    raw, answer = loaded(request.param)
    return Rig(raw), answer


@pytest.fixture(scope="session")
def by_hand():
    """The helpers above, for tests that lay something out for themselves."""
    return SimpleNamespace(
        between=between, gauge=gauge, line=line, links=Links, loaded=loaded, peak=peak, shaft_body=shaft_body,
        shear=shear, whirl=whirl, whole=WHOLE,
    )  # fmt: skip
