"""A build over road speed: from where to where its shaft runs smooth, what ends that, and which gear takes it there."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from geometry.document import Build, edited, value_at
from geometry.document.entries import Variants, variants
from geometry.judge.codes import Found, finding_id
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.mechanics.vectors import Floats
from geometry.words.study import Stretch, Studied, stretches_of, studied

SMOOTH: Final = (
    "pinion_residual", "shaft_inertia_drive", "shaft_inertia_coast", "critical_speed", "half_critical_speed",
    "operating_angle_most",
)  # fmt: skip
"""Findings that hang on how fast the shaft turns, and are felt or heard."""
USUAL_KMH: Final = 130.0
"""Looked at up to this where nothing tells how fast the vehicle goes."""
_BEYOND_CRUISE: Final = 1.2
_STEPS: Final = 160


@dataclass(frozen=True, slots=True)
class Gear:
    """One gear, counted from 1: the engine's speed for each of the shaft, and the road speed at the redline, km/h."""

    number: int
    ratio: float
    redline_kmh: float | None


@dataclass(frozen=True, slots=True)
class OverSpeed:
    """A build at `speeds_kmh` (n,), its own cruising speed among them, each taken as the cruising speed.

    `shaft_rpm` (n,) is nan where it is not known. `findings` are those of `SMOOTH` that are asked, with value, lines and
    verdict (n,) each; `whole` is from where to where they are what, together, and which decides. `critical_rpm` is the
    lowest critical speed, `half_critical_rpm` half of that of each section, from the lowest, as far as known.
    """

    speeds_kmh: Floats
    shaft_rpm: Floats
    findings: tuple[Studied, ...]
    whole: tuple[Stretch, ...]
    gears: tuple[Gear, ...]
    critical_rpm: float | None
    half_critical_rpm: tuple[float, ...]
    cruise_kmh: float | None

    @property
    def smooth(self) -> tuple[tuple[float, float], ...]:
        """From where to where all of it is clear, km/h.

        >>> over_speed(Build()).smooth
        ()
        """
        return tuple((one.first, one.last) for one in self.whole if one.verdict == "clear")


def over_speed(build: Build, most_kmh: float | None = None) -> OverSpeed:
    """Judge at every road speed what hangs on the shaft's speed, as `solve` would with that cruising speed.

    Up to `most_kmh`; left open, up to the highest speed of vehicle and engine, and beyond the cruising speed.

    Raises
    ------
    ValueError
        When `most_kmh` is not above 0.

    Examples
    --------
    Uneven running grows with the square of the speed: 300 rad/s² at 80 km/h become 400 at 80 · √(4/3) = 92.4 km/h.

    >>> from geometry.document import edited
    >>> readings = {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 9.0, "axle.pinion_slope_deg": 3.9}
    >>> speeds = {"vehicle.tyre_turns_per_km": 450.0, "axle.ratio": 4.0, "vehicle.top_speed_kmh": 160.0}
    >>> found = over_speed(edited(Build(), readings | speeds))
    >>> residual = next(one for one in found.findings if one.id == "pinion_residual").judged.value
    >>> bool(np.allclose(residual / residual[-1], (found.speeds_kmh / 160.0) ** 2))
    True
    """
    with np.errstate(all="ignore"):
        per_kmh = float(Facts(_cruising(build, np.ones(1))).speeds.cruise_rpm[0])
        gears = _gears(build, per_kmh)
        most = _most_kmh(build, gears) if most_kmh is None else most_kmh
        if not most > 0.0:
            raise ValueError("speeds go up to more than 0 km/h")
        cruise = value_at(build, "vehicle.cruise_speed_kmh")
        told = [] if cruise is None or cruise > most else [cruise]
        speeds = np.union1d(most * np.arange(1, _STEPS + 1) / _STEPS, told)
        facts = Facts(_cruising(build, speeds))
        critical = np.array([tube.critical_rpm.min() for tube in facts.tubes])
        found = smooth_at(build, speeds)
    whole = studied(build, {"vehicle.cruise_speed_kmh": speeds}, found)
    return OverSpeed(
        speeds,
        facts.speeds.cruise_rpm,
        whole.findings,
        stretches_of(speeds, whole),
        gears,
        float(critical.min()) if np.isfinite(critical).all() else None,
        tuple(np.unique(critical[np.isfinite(critical)] / 2.0).tolist()),
        cruise,
    )


def smooth_at(build: Build, speeds_kmh: Floats) -> Found:
    """The findings of `SMOOTH` at some road speeds, (n,) each, as `solve` would judge them cruising so and no faster.

    >>> smooth_at(Build(), np.array([50.0, 100.0]))["pinion_residual", "rear_joint"].verdict.tolist()  # unknown
    [2, 2]
    """
    plain = edited(build, {"obstacles": ()})  # how fast it goes brings nothing nearer
    found = judge(_cruising(plain, speeds_kmh))
    return {key: one for key, one in found.items() if finding_id(key) in SMOOTH}


def _cruising(build: Build, speeds_kmh: Floats) -> Variants:
    """The build cruising at each speed, and going no faster."""
    return variants(build, {"vehicle.cruise_speed_kmh": speeds_kmh, "vehicle.top_speed_kmh": speeds_kmh})


def _gears(build: Build, per_kmh: float) -> tuple[Gear, ...]:
    redline = value_at(build, "powertrain.redline_rpm")
    ratios = value_at(build, "powertrain.gear_ratios") or ()
    known = redline is not None and per_kmh > 0.0
    return tuple(
        Gear(place, ratio, redline / ratio / per_kmh if known else None) for place, ratio in enumerate(ratios, start=1)
    )


def _most_kmh(build: Build, gears: tuple[Gear, ...]) -> float:
    """How fast the vehicle goes, as far as that is told; always beyond its cruising speed."""
    cruise, top = (value_at(build, f"vehicle.{which}_speed_kmh") for which in ("cruise", "top"))
    told = [one for one in (top, gears[-1].redline_kmh if gears else None) if one is not None]
    beyond = 0.0 if cruise is None else _BEYOND_CRUISE * cruise
    return max(min(told), beyond) if told else max(beyond, USUAL_KMH)
