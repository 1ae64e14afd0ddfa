"""What the program has to say about a build: every judge, and their findings worst first."""

from collections.abc import Callable

from geometry.facts import Facts
from geometry.findings import angles, motion, readings, travel, tubes
from geometry.solution import Finding, Verdict

Judge = Callable[[Facts], list[Finding]]

JUDGES: tuple[Judge, ...] = (
    motion.pinion_residual,
    angles.ends_cancel,
    angles.angle_for_speed,
    motion.shaft_inertia,
    angles.needles_roll,
    angles.joint_reach,
    angles.shaft_slope,
    tubes.whirl,
    tubes.shear,
    tubes.joint_loads,
    travel.suspension_fits,
    travel.slip,
    travel.gaps,
    travel.wound_up,
    travel.side_shift,
    angles.lubrication,
    readings.stick_slope,
    readings.tape_length,
    readings.axle_place,
    travel.spring_station,
    readings.gauge_resolution,
    readings.perches,
)
"""In the order in which findings of one verdict are listed."""

_ENDS = frozenset({"ends_parallel", "straight_end", "operating_angle_least"})
"""Findings that are unknown where a line is not measured, the last one on any chain: then nothing may be tacked."""
WORST_FIRST: tuple[Verdict, ...] = ("hold", "caution", "unknown", "clear")


def judged(facts: Facts) -> tuple[Finding, ...]:
    """All findings on a build, worst first."""
    found = [finding for judge in JUDGES for finding in judge(facts)]
    return tuple(sorted(found, key=lambda finding: WORST_FIRST.index(finding.verdict)))


def overall(findings: tuple[Finding, ...]) -> tuple[Verdict, str]:
    """Verdict over all findings, and the sentence that goes with it."""
    counts = {verdict: sum(finding.verdict == verdict for finding in findings) for verdict in WORST_FIRST}
    if counts["hold"]:
        return "hold", f"Do not tack yet: {_so_many(counts['hold'], 'finding holds', 'findings hold')} the job up."
    open_ones = (
        f" {_so_many(counts['unknown'], 'finding still wants', 'findings still want')} a measurement."
        if counts["unknown"]
        else ""
    )
    if counts["caution"]:
        cautions = _so_many(counts["caution"], "caution", "cautions")
        if any(finding.id in _ENDS and finding.verdict == "unknown" for finding in findings):
            return "caution", f"Do not tack yet: whether the joints cancel is not known. {cautions}.{open_ones}"
        return "caution", f"Tack only once you have weighed {cautions}.{open_ones}"
    if counts["unknown"] or not findings:
        return "unknown", f"Nothing found against it so far, but{open_ones or ' nothing is measured yet.'}"
    return "clear", "Nothing found against it: tack, measure again, then weld."


def _so_many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
