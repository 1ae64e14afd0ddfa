"""What a vibration may come from, as text for a terminal."""

from __future__ import annotations

from typing import Final

from app.complaints import title_of
from app.terminal import headed, wrapped
from app.units import show
from geometry.document import Build
from geometry.words.vibration import Diagnosis, Felt, Sounds, Under

SOUNDS: Final[dict[Sounds, str]] = {
    "hum": "Hum or boom",
    "shudder": "Shudder or shake",
    "growl": "Growl or whine",
    "clunk": "Clunk",
}
UNDER: Final[dict[Under, str]] = {
    "pull": "Under pull",
    "coast": "Coasting in gear",
    "gear": "In gear, gone in neutral",
    "neutral": "In neutral",
    "all": "All alike",
}
"""What it is like, and when it is felt, as a person chooses it."""
TOLD: Final = 5
"""Suspects that are told of."""
BASIS: Final = (
    "What turns how fast is reckoned from your entries; how each cause feels, and what each sign weighs, is common "
    "practice."
)
CAUTION: Final = (
    "Try on an empty road within the law, or on rated stands by someone who may; never under a running shaft. "
    "A shaft that shakes hard is not driven on."
)


def vibration_text(build: Build, found: Diagnosis, felt: Felt, source_name: str) -> str:
    """Return it as text, no line wider than 98 columns."""
    lines = [headed(build, source_name), _felt(build, felt), ""]
    turning = found.turning
    if turning.wheel_hz is not None or turning.shaft_hz is not None or turning.engine_hz is not None:
        lines.append("How often it would shake, in times a second (Hz)")
    for words, value in (("wheels", turning.wheel_hz), ("shaft", turning.shaft_hz), ("engine", turning.engine_hz)):
        if value is not None:
            once, twice = (show(times * value, "Hz", build.display) for times in (1.0, 2.0))
            lines.append(f"The {words:8}once a turn {once}, twice a turn {twice}")
    if turning.critical_share is not None:
        lines.append(f"The shaft is at {show(turning.critical_share, 'ratio', build.display)} of its critical speed.")
    if found.wants:
        lines += wrapped(f"Not told for want of: {', '.join(title_of(path).lower() for path in found.wants)}.")
    lines += ["", "Suspects, the likeliest first"]
    for number, one in enumerate(found.suspects[:TOLD], start=1):
        at = "" if one.expected_hz is None else f", {show(one.expected_hz, 'Hz', build.display)}"
        lines += wrapped(f"{number}  {one.title}{at}", later="   ")
        lines += wrapped(f"   {'; '.join(one.reasons) or 'nothing speaks for it or against it'}.", later="   ")
    if felt.frequency_hz is not None and found.cleared and not any(one.agrees for one in found.suspects):
        lines += ["", *wrapped("Nothing that is known here turns at that: read frequency and speed once more.")]
    if found.cleared:
        out = "; ".join(f"{one.title.partition(':')[0].lower()} ({one.cleared})" for one in found.cleared)
        lines += ["", *wrapped(f"Ruled out by what was read: {out}.")]
    lines += ["", *wrapped(f"Next: {found.test}"), "", *wrapped(BASIS), *wrapped(CAUTION)]
    return "\n".join(lines) + "\n"


def _felt(build: Build, felt: Felt) -> str:
    """What was said of it, in one line."""
    parts = [
        "" if felt.speed_kmh is None else f"at {show(felt.speed_kmh, 'km/h', build.display)}",
        "" if felt.frequency_hz is None else f"{show(felt.frequency_hz, 'Hz', build.display)} (times a second)",
        "" if felt.sounds is None else f"a {felt.sounds}",
        "" if felt.under is None else UNDER[felt.under].lower(),
        "" if felt.gear is None else f"gear {felt.gear}",
        "" if felt.engine_rpm is None else f"engine at {show(felt.engine_rpm, 'rpm', build.display)}",
        "" if felt.cylinders is None else f"{felt.cylinders} cylinders",
    ]
    return f"Felt {', '.join(part for part in parts if part)}"
