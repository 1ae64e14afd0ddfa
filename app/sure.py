"""How sure the answer is, as text for a terminal, and the words that the window says of it too."""

from __future__ import annotations

from textwrap import shorten
from typing import Final

from app.complaints import one_line
from app.drawing.palette import VERDICT_SIGNS
from app.naming import name_of, part_words
from app.terminal import WIDTH, headed, wrapped
from app.units import degrees, show
from geometry.document import Build
from geometry.document.vehicle import Display
from geometry.words.names import whole_name
from geometry.words.solution import Verdict
from geometry.words.sure import Chance, Interval, Sure
from geometry.words.wording import capital, small

SAID: Final = 5
"""Readings to take again that are told."""
_ORDER: Final[tuple[Verdict, ...]] = ("clear", "caution", "hold", "unknown")


def percent(share: float) -> str:
    """A share in whole per cent; what is nearly all or nearly nothing is not called all or nothing.

    >>> percent(0.5), percent(0.001), percent(0.9991), percent(1.0), percent(0.0)
    ('50 %', 'under 1 %', 'over 99 %', '100 %', '0 %')
    """
    if 0.0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1.0:
        return "over 99 %"
    return f"{round(100.0 * share)} %"


def chance_words(one: Chance) -> str:
    """Every verdict that comes out, with its share: ● 66 % ▲ 30 % ■ 4 %."""
    shares = ((verdict, getattr(one, verdict)) for verdict in _ORDER)
    return "  ".join(f"{VERDICT_SIGNS[verdict]} {percent(share)}" for verdict, share in shares if share > 0.0)


def interval_words(one: Interval, display: Display) -> str:
    """From where to where a value lies in 95 of 100 draws."""
    if one.name == "length":
        return f"{show(one.low, 'mm', display)} to {show(one.high, 'mm', display)}"
    return f"{degrees(one.low)} to {degrees(one.high)}"


def tools_words(build: Build) -> str:
    """With what the build was measured: gauge ± 0.1°, tape ± 0.06 in."""
    gauge = build.gauge
    if gauge is None or (gauge.angle_uncertainty_deg is None and gauge.tape_uncertainty_mm is None):
        return "gauge and tape taken as exact: enter what they read give or take"
    parts = [
        f"gauge ± {show(gauge.angle_uncertainty_deg, 'deg', build.display)}"
        if gauge.angle_uncertainty_deg is not None
        else "gauge taken as exact",
        f"tape ± {show(gauge.tape_uncertainty_mm, 'mm', build.display)}"
        if gauge.tape_uncertainty_mm is not None
        else "tape taken as exact",
    ]
    if gauge.zero_uncertainty_deg:
        parts.insert(1, f"its zero ± {show(gauge.zero_uncertainty_deg, 'deg', build.display)}")
    return ", ".join(parts)


def stated(build: Build) -> bool:
    """Whether it is entered what gauge or tape read give or take; without either nothing is drawn."""
    gauge = build.gauge
    return gauge is not None and any(
        (gauge.angle_uncertainty_deg, gauge.zero_uncertainty_deg, gauge.tape_uncertainty_mm)
    )


def none_words(build: Build) -> str:
    """What is said where no verdict is in doubt: of a tool that reads who knows how finely, nothing."""
    gauge = build.gauge
    if gauge is None or not stated(build):
        return "How sure is not known: enter what gauge and tape read give or take."
    if gauge.tape_uncertainty_mm is None:
        return "No verdict hangs on the gauge; of the tape enter what it reads give or take."
    if gauge.angle_uncertainty_deg is None:
        return "No verdict hangs on the tape; of the gauge enter what it reads give or take."
    return "No verdict hangs on gauge or tape."


def sure_text(build: Build, found: Sure, source_name: str) -> str:
    """Return it as text, no line wider than 98 columns."""
    if not stated(build):
        return "\n".join([headed(build, source_name), *wrapped(none_words(build))]) + "\n"
    lines = [
        headed(build, source_name),
        *wrapped(f"All readings drawn {found.draws:,} times within {tools_words(build)}"),
        "",
        f"{capital(whole_name(build))}  {chance_words(found.whole)}",
        "",
        "In 95 of 100 draws",
        *(f"  {one.name:14}{interval_words(one, build.display)}" for one in found.intervals),
        "",
    ]
    doubtful = [one for one in found.findings if one.doubtful]
    if doubtful:
        lines.append("In doubt, most by")
        for one in doubtful:
            name = one_line(f"{one.title}, {part_words(one.part)}")[:44]
            by = f"by {small(one_line(name_of(build, one.again)))}" if one.again else ""
            start = f"  {name:46}{chance_words(one):24}"
            lines.append(f"{start}{shorten(by, WIDTH - len(start), placeholder=' …')}".rstrip())
        told = found.again[:SAID]
        lines += ["", "Take again first"] if told else []
        lines += [
            f"  {one_line(name_of(build, path)):46}{percent(share)} of the doubt" for path, share in found.again[:SAID]
        ]
    else:
        lines += wrapped(none_words(build))
    lines += ["", "; ".join(f"{VERDICT_SIGNS[verdict]} {verdict}" for verdict in _ORDER)]
    return "\n".join(lines) + "\n"
