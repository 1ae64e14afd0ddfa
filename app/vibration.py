"""What a vibration may come from, as text for a terminal."""

from __future__ import annotations

from typing import Final

from app.complaints import title_of
from app.sure import percent
from app.terminal import headed, wrapped
from app.units import DisplayChoice, show
from geometry.document import Build
from geometry.words.names import whole_name
from geometry.words.vibration import Diagnosis, Felt, Sounds, Suspect, Turning, Under
from geometry.words.wording import capital, small

SOUNDS: Final[dict[Sounds, str]] = {
    "hum": "Hum, boom",
    "shudder": "Shudder, shake",
    "growl": "Growl, whine",
    "clunk": "Clunk",
}
UNDER: Final[dict[Under, str]] = {
    "pull": "Under pull",
    "coast": "Coast in gear",
    "gear": "Gone in neutral",
    "neutral": "In neutral too",
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
NOTHING: Final = "Nothing that is known here turns at that: read frequency and speed once more."


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
        lines.append(f"The shaft is at {percent(turning.critical_share)} of its critical speed.")
    if found.wants:
        lines += wrapped(f"Not told for want of: {', '.join(small(title_of(path)) for path in found.wants)}.")
    shaft = f" at the {whole_name(build)}" if build.drivelines else ""
    lines += ["", f"Suspects{shaft}, the likeliest first"]
    for number, one in enumerate(found.suspects[:TOLD], start=1):
        at = "" if one.expected_hz is None else f", {show(one.expected_hz, 'Hz', build.display)}"
        lines += wrapped(f"{number}  {one.title}{at}", later="   ")
        lines += wrapped(f"   {reasons_words(one)}", later="   ")
    if felt.frequency_hz is not None and found.cleared and not any(one.agrees for one in found.suspects):
        lines += ["", *wrapped(NOTHING)]
    if found.cleared:
        out = "; ".join(f"{small(_short(one))} ({one.cleared})" for one in found.cleared)
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


def reasons_words(one: Suspect) -> str:
    """What speaks for a suspect and what against it, as a sentence.

    >>> reasons_words(Suspect("wheel", "A wheel", None, None, 0, ("a hum is not like it", "to be expected in neutral")))
    'A hum is not like it; to be expected in neutral.'
    """
    said = "; ".join(one.reasons) or "nothing speaks for it or against it"
    return f"{capital(said)}."


def out_words(one: Suspect) -> str:
    """What is ruled out, and why, in a line."""
    return f"{_short(one)}: {one.cleared}"


def turning_rows(turning: Turning, felt: Felt, display: DisplayChoice) -> tuple[tuple[str, str, str], ...]:
    """What turns or shakes how often, each with its times a second and a minute; a dash where that is not known."""
    rows: list[tuple[str, float | None, float]] = [
        ("Wheel", turning.wheel_hz, 1.0),
        ("Shaft", turning.shaft_hz, 1.0),
        ("Shaft, twice", turning.shaft_hz, 2.0),
        ("Engine", turning.engine_hz, 1.0),
    ]
    if felt.cylinders is not None:
        rows.append(("Engine fires", turning.engine_hz, felt.cylinders / 2.0))
    return tuple(
        (name, "–", "–")
        if of is None
        else (name, show(times * of, "Hz", display), show(60.0 * times * of, "rpm", display).rpartition(" ")[0])
        for name, of, times in rows
    )


def untold(felt: Felt, turning: Turning) -> str:
    """What the person may still say, as a sentence; nothing where all of it is said.

    >>> untold(Felt(speed_kmh=90.0, sounds="hum", under="all", cylinders=4), Turning(10.0, 40.0, 80.0, None))
    'Say also the frequency that a phone shows.'
    """
    told = (
        ("the road speed", felt.speed_kmh),
        ("the frequency that a phone shows", felt.frequency_hz),
        ("what it is like", felt.sounds),
        ("when it is felt", felt.under),
        ("the gear or the tachometer", turning.engine_hz),
        ("the cylinders", felt.cylinders),
    )
    names = [name for name, value in told if value is None]
    if not names:
        return ""
    *before, last = names
    return f"Say also {', '.join(before)}{' and ' if before else ''}{last}."


def _short(one: Suspect) -> str:
    return one.title.partition(":")[0]
