"""What the curves show of a solution: panels of series and limits, in the stored units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.drawing.wording import kind_of
from app.units import Kind
from geometry.document import Build, joints_of
from geometry.document.vehicle import Display
from geometry.judge.limits import LIMITS, Limit
from geometry.words.solution import Solution, Travel, Verdict

Floats = NDArray[np.float64]
Worst = Literal["most", "least"]


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """One curve, nan where it is not known, and which end of its values is the bad one."""

    name: str
    values: Floats
    worst: Worst


@dataclass(frozen=True, slots=True)
class LimitLine:
    """A limit as a line, and its word."""

    word: str
    value: float
    verdict: Literal["hold", "caution"]


@dataclass(frozen=True, slots=True)
class Panel:
    """One plot. Without series, `wants` says in a sentence what is missing.

    `judged` is the worst verdict of the findings of the same quantity: no mark on the curve is worse. `at_ride` says
    that its lines count at ride height alone: nobody cruises at full droop.
    """

    title: str
    kind: Kind
    series: tuple[Series, ...]
    limits: tuple[LimitLine, ...] = ()
    wants: str = ""
    judged: Verdict = "hold"
    at_ride: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """All panels over one travel, mm from ride height, droop first."""

    travel_mm: Floats
    panels: tuple[Panel, ...]
    display: Display


def curves_of(build: Build, solution: Solution) -> Curves | None:
    """Curves of a solution, or None where its travel is not known."""
    travel = solution.travel
    if travel is None or len(travel.axle_mm) < 2:
        return None
    made = {
        "joint_bind": _angles(build, solution, travel),
        "pinion_residual": replace(_residual(solution, travel), at_ride=True),
        "slip_left": _slip("slip left", LIMITS["slip_left"], travel.slip_left_mm, solution),
        "slip_engaged": _slip("slip engaged", LIMITS["slip_engaged"], travel.engaged_mm, solution),
        "gap": _gap(build, solution, travel),
    }
    panels = tuple(replace(panel, judged=_judged(solution, name)) for name, panel in made.items())
    return Curves(np.array(travel.axle_mm), panels, build.display)


def _judged(solution: Solution, kind: str) -> Verdict:
    """Worst verdict of the findings of a kind; what is not judged has no mark, as what is clear."""
    found = {one.verdict for one in solution.findings if kind_of(one) == kind}
    return "hold" if "hold" in found else "caution" if "caution" in found else "clear"


def at_travel(curves: Curves, series: Series, travel_mm: float) -> float | None:
    """Value of a curve at a place of the travel, straight between its points, or None where it is not known."""
    value = float(np.interp(travel_mm, curves.travel_mm, series.values))
    return value if np.isfinite(value) else None


def worst_of(curves: Curves, series: Series) -> tuple[float, float] | None:
    """Place and value of a curve's worst point, or None where none is known."""
    if np.isnan(series.values).all():
        return None
    bad = series.values if series.worst == "most" else -series.values
    level = np.nanmax(bad) - 1e-6 * max(float(np.nanmax(np.abs(bad))), 1e-9)
    # Of points that are equally bad, as where nothing that moves comes near, the one nearest to ride height.
    row = int(np.argmin(np.where(bad >= level, np.abs(curves.travel_mm), np.inf)))
    return float(curves.travel_mm[row]), float(series.values[row])


def _angles(build: Build, solution: Solution, travel: Travel) -> Panel:
    series: tuple[Series, ...] = ()
    if travel.operating_deg is not None:
        series = tuple(
            _series(joint.name, values, "most")
            for joint, values in zip(solution.joints, travel.operating_deg, strict=True)
        )
    limits: list[LimitLine] = []
    reach = {joint.name: model.max_angle_deg for joint, model in zip(solution.joints, joints_of(build), strict=True)}
    given = {value for value in reach.values() if value is not None}
    spare = LIMITS["joint_bind"]
    for value in sorted(given):
        own = [name for name, most in reach.items() if most == value]
        whose = "" if len(own) == len(reach) else f", {' and '.join(own)}"
        limits.append(LimitLine(f"hold{whose}", value - spare.hold, "hold"))
        limits.append(LimitLine(f"caution{whose}", value - spare.clear, "caution"))
    return _panel("joint angles", "deg", series, limits, _wants(solution, "operating_angle_most", "joint_bind"))


def _residual(solution: Solution, travel: Travel) -> Panel:
    row = LIMITS["pinion_residual"]
    limits = [LimitLine("hold", row.hold, "hold"), LimitLine("caution", row.clear, "caution")]
    series = () if travel.pinion_residual_rad_s2 is None else (_series("", travel.pinion_residual_rad_s2, "most"),)
    return _panel("uneven running", "rad/s²", series, limits, _wants(solution, row.id))


def _slip(title: str, row: Limit, values: Sequence[float | None] | None, solution: Solution) -> Panel:
    series = () if values is None else (_series("", values, "least"),)
    # Its finding has the lines in mm: how much spline must stay engaged hangs on its diameter.
    found = next((one for one in solution.findings if one.id == row.id), None)
    limits = [] if found is None else _lines(found.hold_limit, found.limit)
    return _panel(title, "mm", series, limits, _wants(solution, row.id))


def _lines(hold: float | None, caution: float | None) -> list[LimitLine]:
    """Lines of a finding, as far as it has them."""
    made = [] if hold is None else [LimitLine("hold", hold, "hold")]
    return made if caution is None else [*made, LimitLine("caution", caution, "caution")]


def _gap(build: Build, solution: Solution, travel: Travel) -> Panel:
    if not build.obstacles:
        return Panel("least gap", "mm", (), (), "No obstacle is drawn or entered yet.")
    series = () if travel.gap_mm is None else (_series("", travel.gap_mm, "least"),)
    row = LIMITS["gap"]
    # Every obstacle may want its own gap: the lines are those of the one that comes nearest.
    near = min(
        (one for one in solution.findings if one.id.startswith("gap_") and one.value is not None and one.limit),
        key=lambda one: one.value or 0.0,
        default=None,
    )
    lines = _lines(row.hold, row.clear) if near is None else _lines(near.hold_limit, near.limit)
    return _panel("least gap", "mm", series, lines, _wants(solution, "gap"))


def _series(name: str, values: Sequence[float | None], worst: Worst) -> Series:
    return Series(name, np.array([np.nan if one is None else one for one in values], np.float64), worst)


def _panel(title: str, kind: Kind, series: tuple[Series, ...], limits: Sequence[LimitLine], wants: str) -> Panel:
    """One with nothing known in any of its series wants something."""
    if any(np.isfinite(one.values).any() for one in series):
        return Panel(title, kind, series, tuple(limits))
    return Panel(title, kind, (), (), wants)


def _wants(solution: Solution, *names: str) -> str:
    """What the finding of that name says is missing."""
    for one in solution.findings:
        if one.verdict == "unknown" and any(one.id == name or one.id.startswith(f"{name}_") for name in names):
            return one.says
    return "Not known from what is entered."
