"""Plans in words: what each changes, what it leaves and how far was looked; for the terminal, and for the window."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from app.amounts import amount
from app.complaints import one_line
from app.drawing.palette import VERDICT_SIGNS
from app.naming import name_of, other_words, part_words
from app.study import range_words, said_value, unjudged_words
from app.sure import percent
from app.terminal import WIDTH, headed, wrapped
from geometry.document import Build
from geometry.mechanics.vectors import Floats
from geometry.words.plans import Left, Looked, PlanFound, plan_words
from geometry.words.wording import small

_LEFT: Final = 6


def tally(plan: PlanFound) -> str:
    """How many findings are against a plan: 1 hold, 2 caution; or that there are none."""
    counts = ((plan.holds, "hold"), (plan.cautions, "caution"), (plan.unknown, "unknown"))
    return ", ".join(f"{count} {word}" for count, word in counts if count) or "nothing against it"


def room_words(plan: PlanFound) -> str:
    """How far the nearest line still is, where none is passed."""
    return f"{percent(plan.margin)} left to the nearest line" if 0.0 <= plan.margin < 1.0 else ""


def change_name(build: Build, path: str) -> str:
    """What a change is called: an entry's name, or what the whole shaft is made of."""
    return "Shaft in one or two pieces" if path == "shaft" else name_of(build, path)


def change_words(build: Build, changes: Mapping[str, Any]) -> list[str]:
    """What to do for each change of a plan, as the ways out say it, else the entry with its value."""
    orders = plan_words(build, changes)
    return [orders[path] or f"{name_of(build, path)}: {said_value(to, path, build)}" for path, to in changes.items()]


def left_words(left: Left, build: Build) -> str:
    """What a plan leaves open, by how much: tube too weak, shaft, 118 MPa, at most 109 MPa."""
    where = "" if left.end is None else f"{left.end} shaft: "
    said = f"{VERDICT_SIGNS[left.verdict]} {where}{left.title}, {part_words(left.part)}"
    if left.verdict == "unknown":
        return f"{said}, not judged then"
    if (
        left.value is not None and left.id == "gauge_resolution"
    ):  # what gauge and tape leave open has no line of its own
        return f"{said}, ± {amount(left.value, left.unit, build.display, 2)}"
    if left.value is None or left.limit is None:
        return said
    for places in (None, *range(1, 5)):
        value, line = (amount(one, left.unit, build.display, places) for one in (left.value, left.limit))
        if value != line:
            break
    return f"{said}, {value}, at {left.sense} {line}"


def edge_words(build: Build, plan: PlanFound) -> str:
    """Which changes stand at the end of their range, as far as was looked; "" where none does."""
    names = [small(name_of(build, path)) for path in plan.at_edge]
    return f"at the end of its range: {', '.join(names)}; a wider range may hold a better plan" if names else ""


def looked_words(found: Looked) -> str:
    """How many combinations were judged by now, and whether that is all."""
    if found.judged == found.combinations:
        return f"All {found.combinations:,} combinations judged."
    how = "some values of each, then step by step about the best" if found.ended else "looking on"
    return f"{found.judged:,} of {found.combinations:,} combinations judged: {how}."


def plans_text(build: Build, found: Looked, ranges: Mapping[str, Floats], source_name: str) -> str:
    """Return the plans as text, the best first, no line wider than 98 columns."""
    lines = [headed(build, source_name)]
    for path, values in ranges.items():
        lines += range_words(path, values, build)
    lines += ["", *wrapped(looked_words(found))]
    now = found.as_it_is
    lines.append(f"As it is: {VERDICT_SIGNS[now.verdict]} {now.verdict}: {tally(now)}")
    for number, plan in enumerate(found.plans, start=1):
        room = room_words(plan)
        lines += ["", f"{number}  {VERDICT_SIGNS[plan.verdict]} {plan.verdict}: {tally(plan)}{room and f'; {room}'}"]
        if not plan.changes:
            lines.append(
                "   leave it as it is: nothing on these values is better"
                if plan.known
                else "   not known yet: measure more before a plan can be found"
            )
        for said in change_words(build, plan.changes):
            lines += wrapped(f"   {said}", later="   ")
        lines += wrapped(f"   {edge_words(build, plan)}", later="   ")
        lines += wrapped(f"   {other_words(build, plan.changes)}", later="   ")
        lines += [one_line(f"   remains: {left_words(left, build)}")[:WIDTH] for left in plan.left[:_LEFT]]
        if len(plan.left) > _LEFT:
            lines.append(f"   and {len(plan.left) - _LEFT} more")
    for path in found.unjudged:
        lines += ["", *wrapped(unjudged_words(build, path, float(ranges[path][-1] or ranges[path][0])))]
    return "\n".join(lines) + "\n"
