"""An axle on four links by scipy alone, and shocks and bars on it in 3-D, for tests to hold the judge against."""

import numpy as np
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from geometry import Build, edited
from tests.geometry.strategies import sample

WAGON = edited(
    sample("transfer_case_double_joint"), {"obstacles": (), "lateral_link": None, "shocks": (), "torque_bars": ()}
)
LINKS = {
    end: np.array(getattr(WAGON.suspension, f"{end}_mm"))
    for end in ("lower_frame", "lower_axle", "upper_frame", "upper_axle")
}
CENTRE = np.array(WAGON.axle.centre_mm)
BUMP, SQUASH, DROOP = WAGON.suspension.bump_mm, WAGON.suspension.bump_squash_mm, WAGON.suspension.droop_mm


def side_turn(angle: float) -> np.ndarray:
    """Turn in side view (x, z) by which a slope grows by the angle, rad."""
    return np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])


def axle_at(travels: np.ndarray, links: dict[str, np.ndarray] = LINKS) -> tuple[np.ndarray, np.ndarray]:
    """Centre (n, 2) in side view, and turn (n,) in rad, of the axle at travels: both links keep their lengths."""
    centre = CENTRE[[0, 2]]
    arms = {which: links[f"{which}_axle"] - centre for which in ("lower", "upper")}
    long = {which: np.linalg.norm(links[f"{which}_axle"] - links[f"{which}_frame"]) for which in arms}
    order = np.argsort(np.abs(travels), kind="stable")
    found = np.full((travels.size, 3), np.nan)
    for sign in (1.0, -1.0):
        guess = np.zeros(2)
        for at in [one for one in order if sign * travels[one] >= 0.0]:
            up = travels[at]

            def missed(x, up=up):
                place = centre + np.array([x[0], up])
                return [
                    np.linalg.norm(place + side_turn(x[1]) @ arms[which] - links[f"{which}_frame"]) - long[which]
                    for which in arms
                ]

            guess = root(missed, guess, tol=1e-10).x
            assert np.abs(missed(guess)).max() < 1e-7
            found[at] = centre[0] + guess[0], centre[1] + up, guess[1]
    return found[:, :2], found[:, 2]


def carried(point: np.ndarray, centre: np.ndarray, turn: float, roll: float = 0.0) -> np.ndarray:
    """A point of the axle with its centre there (x, z), turned and rolled (right side up) by scipy's rotations, rad."""
    turned = Rotation.from_euler("y", turn).apply(point - CENTRE)
    return np.array([centre[0], CENTRE[1], centre[1]]) + Rotation.from_euler("x", roll).apply(turned)


def dense(squash: float = SQUASH, places: int = 201) -> np.ndarray:
    """Travels from droop to squashed bump, ride height among them."""
    return np.unique(np.concatenate([np.linspace(-DROOP, BUMP + squash, places), [0.0]]))


def with_shock(**entries: object) -> Build:
    """The wagon with one shock."""
    shock = {"axle_point_mm": (2700.0, 420.0, 360.0), "frame_point_mm": (2720.0, 360.0, 800.0), "compressed_mm": 300.0,
             "extended_mm": 600.0}  # fmt: skip
    return edited(WAGON, {"shocks": (shock | entries,), "suspension.stop_spacing_mm": 850.0})
