"""What the sheet says beside the set-points: checks by tape, how far off each number may be, and what to buy."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.complaints import title_of
from app.setpoints import both_lengths
from app.units import show
from geometry.document import Build
from geometry.document.running_gear import TwoPieceShaft
from geometry.words.solution import Bought, Solution, TapeCheck
from geometry.words.tolerance import Tolerance, tolerances_of
from geometry.words.wording import capital, small

Row = tuple[str, str]
"""(short label, words)."""
TAPED: Final = "The angles a second time, by tape from the floor"
BUY: Final = "To buy, for both springs"
_POINTS: Final = {
    "output": ("Output", "the output joint's centre", "the front mounts"),
    "shaft": ("Shaft", "the rear joint's centre", "the front one"),
    "pinion": ("Pinion", "the pinion joint's centre", "the axle's centre"),
}


def check_words(build: Build, check: TapeCheck) -> Row:
    """One check by tape: what it is of, and how much higher which point is."""
    name, head, foot = _POINTS[check.of]
    if check.of == "shaft" and isinstance(build.shaft, TwoPieceShaft):
        foot = "the one at the support bearing"
    value, other = both_lengths(abs(check.rise_mm), build.display)
    way = "above" if check.rise_mm >= 0.0 else "below"
    tenth, tenth_other = both_lengths(check.tenth_mm, build.display, inch_places=3)
    return name, f"{head} {value} ({other}) {way} {foot}; 1/10° is {tenth} ({tenth_other})"


def checks_by_tape(build: Build, solution: Solution) -> tuple[Row, ...]:
    """All checks by tape, front to rear."""
    return tuple(check_words(build, one) for one in solution.setpoints.checks)


def may_be_off(build: Build) -> tuple[Row, ...]:
    """How far off each number may be until a verdict gets worse."""
    return tuple((capital(one.name), _off(build, one)) for one in tolerances_of(build))


def _off(build: Build, one: Tolerance) -> str:
    words = ("lower", "higher") if one.path == "plan.mount_shim_mm" else ("less", "more")
    if one.path == "plan.axle_shim_deg":
        words = ("nose lower", "nose higher")
    said = [
        f"{show(off, one.unit, build.display, places=2)} {word}"  # type: ignore[arg-type]
        + (f" (then: {small(title)})" if title else "")
        for off, word, title in ((one.less, words[0], one.at_less), (one.more, words[1], one.at_more))
        if off is not None
    ]
    return "; ".join(said) if said else "nothing turns by it as far as is looked"


def wind_up(build: Build, solution: Solution) -> tuple[Row, ...]:
    """How far torque turns the axle from where it is set at rest."""
    found = solution.windup
    if found is None:
        return ()
    said = [
        f"{show(abs(angle), 'deg', build.display)} at {when}"
        for angle, when in ((found.cruise_deg, "cruise"), (found.launch_deg, "launch"))
        if angle is not None
    ]
    return (("Wind-up", f"torque turns the axle by {' and '.join(said)}; the pinion is set at rest"),) if said else ()


def to_buy(build: Build, solution: Solution) -> tuple[Row, ...]:
    """The buying list."""
    return tuple((f"{one.count} × {one.name}", _bought(build, one)) for one in solution.buying)


def _bought(build: Build, one: Bought) -> str:
    sizes = [f"{name} {' / '.join(both_lengths(value, build.display))}" for name, value in one.sizes]
    lacks = [title_of(path) for path in one.wants]
    if lacks:
        sizes.append(f"measure: {', '.join(small(name) for name in lacks)}")
    return f"{'; '.join(sizes)}. {one.says}"


def sections_of(build: Build, solution: Solution) -> Iterator[tuple[str, tuple[Row, ...]]]:
    """Titles and rows of what there is to say; `build` is of the variant that the set-points are of."""
    for title, rows in (
        (TAPED, (*checks_by_tape(build, solution), *wind_up(build, solution))),
        ("How far off each may be, until a verdict gets worse", may_be_off(build)),
        (BUY, to_buy(build, solution)),
    ):
        if rows:
            yield title, rows
