"""Every limit that a finding judges by, in one table, each with its basis.

`clear` is the line up to which a value passes, `hold` the line beyond which it must not be tacked; between them lies
caution. `sense` says whether the value must stay below ("most") or above ("least") them. A limit that depends on the
build (the table over speed, a share of a critical speed) is held here as the share or the table.
"""

from bisect import bisect_right
from enum import StrEnum
from math import isfinite
from typing import Literal, NamedTuple

from geometry.solution import Verdict


class Basis(StrEnum):
    """Where a limit comes from."""

    PUBLISHED = "published"
    HANDBOOK = "handbook, from memory"
    PRACTICE = "common practice"
    OWN_ENTRY = "your own entry"


class Limit(NamedTuple):
    """One row of the table."""

    id: str
    title: str
    clear: float
    hold: float
    unit: str
    sense: Literal["most", "least"]
    basis: Basis
    source: str

    def judge(self, value: float, scale: float = 1.0) -> Verdict:
        """Verdict on a value; `scale` multiplies both lines where the limit is a share of something."""
        if not isfinite(value):
            return "unknown"
        way = 1.0 if self.sense == "most" else -1.0
        if way * value <= way * self.clear * scale:
            return "clear"
        return "caution" if way * value <= way * self.hold * scale else "hold"

    @property
    def basis_text(self) -> str:
        """The basis in words, for the finding."""
        return f"{self.basis.value}: {self.source}" if self.source else self.basis.value


NEVER = float("inf")
"""For a limit that warns but does not stop the work, or, negative, for one that has to be met from above."""

LIMITS = {
    limit.id: limit
    for limit in (
        Limit("ends_parallel", "Ends cancel", 1.0, 3.0, "deg", "most", Basis.PRACTICE, "joint angles equal within a degree"),
        Limit("straight_end", "Single joint runs straight", 2.0, 4.0, "deg", "most", Basis.PRACTICE, "the single joint opposite an even one within two degrees"),
        Limit("operating_angle_least", "Needles roll", 0.5, -NEVER, "deg", "least", Basis.PRACTICE, "half a degree or more, so that the needles roll"),
        Limit("operating_angle_most", "Joint angle for its speed", 1.0, 1.25, "deg", "most", Basis.HANDBOOK, "operating angle against shaft speed for 5,000 h; a quarter more is the end of the caution band"),
        Limit("joint_bind", "Joint reach", 2.0, 0.0, "deg", "least", Basis.OWN_ENTRY, "angle left to the joint's greatest angle; two degrees spare is common practice"),
        Limit("shaft_slope", "Shaft slope", 7.0, 15.0, "deg", "most", Basis.PRACTICE, "up to 7 usual, up to 15 tolerated on one-piece single-joint shafts"),
        Limit("pinion_residual", "Uneven running at the pinion", 300.0, 400.0, "rad/s²", "most", Basis.PUBLISHED, "400: two-joint table citing SAE AE-7, 3.1.1; 300: tighter handbook practice, from memory"),
        Limit("shaft_inertia_drive", "Shaft inertia, driving", 1000.0, 1000.0, "rad/s²", "most", Basis.HANDBOOK, "1,000 rad/s² on the shaft itself"),
        Limit("shaft_inertia_coast", "Shaft inertia, coasting", 1000.0, 1000.0, "rad/s²", "most", Basis.HANDBOOK, "1,000 rad/s² on the shaft itself"),
        Limit("critical_speed", "Critical speed", 0.70, 0.75, "rpm", "most", Basis.PRACTICE, "0.70 to 0.75 of the pinned-beam value; measured whirl lies well below it"),
        Limit("half_critical_speed", "Half critical speed", 0.08, -NEVER, "rpm", "least", Basis.PRACTICE, "cruise at least 8 % away from half the critical speed, as joints excite twice a turn"),
        Limit("tube_shear", "Tube shear", 0.5, 0.8, "MPa", "most", Basis.PRACTICE, "half the yield in shear (yield/√3, distortion energy) is usual, 0.8 the most"),
        Limit("joint_torque", "Joint torque", 1.0, 1.0, "N·m", "most", Basis.OWN_ENTRY, "the joint's own torque limit"),
        Limit("joint_life", "Joint life", 5000.0, 2500.0, "h", "least", Basis.PRACTICE, "5,000 h looked for on a road vehicle; life law of handbooks, from memory"),
        Limit("pinion_nose_up", "Pinion lubrication", 8.0, 20.0, "deg", "most", Basis.PRACTICE, "beyond about 8° nose up the front pinion bearing may run dry unless the fill is raised"),
        Limit("tail_down", "Powertrain tail", 5.0, 10.0, "deg", "most", Basis.PRACTICE, "3 to 5 degrees tail down is usual; beyond, oil pick-up and fill levels want checking"),
        Limit("perches_equal", "Perches equal", 1.6, 3.2, "mm", "most", Basis.PRACTICE, "both perches to the same measurement within 1/16 in"),
        Limit("stick_slope", "Stick against tape", 1.0, 3.0, "deg", "most", Basis.OWN_ENTRY, "your gauge and tape uncertainty, combined by the linear law of JCGM 100"),
        Limit("tape_length", "Tape against positions", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, "your tape uncertainty, combined by the linear law of JCGM 100"),
        Limit("axle_station", "Axle station", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, "your tape uncertainty, combined by the linear law of JCGM 100"),
        Limit("axle_height", "Axle height", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, "your tape uncertainty, combined by the linear law of JCGM 100"),
        Limit("spring_station", "Springs against tape", 1.0, NEVER, "mm", "most", Basis.OWN_ENTRY, "your tape uncertainty, combined by the linear law of JCGM 100"),
        Limit("travel_reach", "Travel reached", 0.0, 0.0, "mm", "least", Basis.OWN_ENTRY, "the stops that you entered"),
        Limit("slip_left", "Slip left at bump", 19.0, 6.0, "mm", "least", Basis.PRACTICE, "3/4 in before the slip bottoms, never less than 1/4 in"),
        Limit("slip_engaged", "Slip engaged at droop", 38.0, 25.4, "mm", "least", Basis.PRACTICE, "1 1/2 in of spline engaged, never less than 1 in"),
        Limit("windup_cruise", "Wind-up at cruise", 300.0, 400.0, "rad/s²", "most", Basis.PUBLISHED, "400: two-joint table citing SAE AE-7, 3.1.1; 300: tighter handbook practice, from memory"),
        Limit("windup_launch", "Wind-up at launch", 4.0, 8.0, "deg", "most", Basis.PRACTICE, "a few degrees are usual on plain leaf springs; much more wants a torque bar"),
        Limit("gap", "Gap", 25.0, 8.0, "mm", "least", Basis.PRACTICE, "an inch of air to anything that moves, unless you entered another gap; a third of it is the end of the caution band"),
        Limit("lateral_shift", "Side shift", 13.0, 25.0, "mm", "most", Basis.PRACTICE, "half an inch over the travel goes unnoticed, an inch is the most"),
        Limit("gauge_resolution", "What the gauge can tell", 1.0, NEVER, "deg", "most", Basis.OWN_ENTRY, "your gauge and tape uncertainty, combined by the linear law of JCGM 100"),
    )
}  # fmt: skip

TAIL_MOST_DEG = LIMITS["tail_down"].clear
"""No remedy hangs the tail lower than is usual."""

SPEED_FOR_ANGLE = (
    (1500.0, 11.5), (2000.0, 8.7), (2500.0, 7.0), (3000.0, 5.8), (3500.0, 5.0), (4000.0, 4.2), (4500.0, 3.7), (5000.0, 3.2),
)  # fmt: skip
"""Shaft speed, rpm, and operating angle, deg, for a joint life of 5,000 h: handbook table, from memory."""
_SPEEDS, _ANGLES = (tuple(column) for column in zip(*SPEED_FOR_ANGLE, strict=True))


def allowed_angle_deg(rpm: float) -> float:
    """Largest operating angle for a shaft speed, degrees: the table, straight between its rows.

    Outside the rows the product of speed and angle of the nearest row is kept, which is what the table does itself.

    >>> allowed_angle_deg(2500.0)
    7.0
    """
    return _between(rpm, _SPEEDS, _ANGLES)


def allowed_rpm(operating_deg: float) -> float:
    """Highest shaft speed for an operating angle, rpm: the same table read the other way."""
    return _between(max(operating_deg, 1e-6), _ANGLES[::-1], _SPEEDS[::-1])


def _between(value: float, rows: tuple[float, ...], others: tuple[float, ...]) -> float:
    if value <= rows[0]:
        return rows[0] * others[0] / value
    if value >= rows[-1]:
        return rows[-1] * others[-1] / value
    row = bisect_right(rows, value)
    share = (value - rows[row - 1]) / (rows[row] - rows[row - 1])
    return others[row - 1] + share * (others[row] - others[row - 1])
