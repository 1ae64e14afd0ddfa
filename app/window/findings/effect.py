"""What a way out does, as a welder would say it: to its finding, to the whole build, and what gets worse by it."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.amounts import after_as_read, amount, as_read, telling_places
from app.drawing.palette import VERDICT_SIGNS
from app.drawing.wording import SHORT, kind_of, short_name
from geometry.document import Build
from geometry.document.sides import end_of
from geometry.judge.limits import LIMITS
from geometry.words.solution import Finding, Remedy, Solution, Verdict, Worse

_WORDS: Final = {"clear": "clear", "caution": "caution", "hold": "hold", "unknown": "not judged"}
_TIED: Final = "\u00a0"
"""No line ends behind a shape."""
_NAMED: Final = 2  # findings that get worse are named as long as they leave room for Apply


def effect_words(finding: Finding, remedy: Remedy, solution: Solution, build: Build) -> list[str]:
    """The lines under Apply, each from now to then: this finding; the whole build, and what gets worse by it."""
    return [_own(finding, remedy, build), f"{_whole(remedy, solution, build)}; {_worse(remedy, solution, build)}"]


def _own(finding: Finding, remedy: Remedy, build: Build) -> str:
    sign, display = VERDICT_SIGNS[remedy.after_verdict], build.display
    then = after_as_read(finding, remedy.after, build)
    finding = as_read(finding, build)
    if then is None:
        return f"this: {_WORDS[finding.verdict]} →{_TIED}{sign}{_TIED}{_WORDS[remedy.after_verdict]}"
    places = telling_places(finding, display)
    now = _WORDS[finding.verdict] if finding.value is None else amount(finding.value, finding.unit, display, places)
    return f"this: {now} →{_TIED}{sign}{_TIED}{amount(then, finding.unit, display, places)}"


def _whole(remedy: Remedy, solution: Solution, build: Build) -> str:
    verdicts = [one.verdict for one in solution.findings]
    now = _counted(verdicts.count("hold"), verdicts.count("caution"), solution.verdict)
    of = f"{end_of(build)} shaft" if build.drivelines else "build"
    return f"{of}: {now} → {_counted(remedy.holds, remedy.cautions, remedy.verdict)}"


def _counted(holds: int, cautions: int, verdict: Verdict) -> str:
    """How many findings hold and are a caution, by the signs of the head, e.g. ■ 6 ▲ 4."""
    told = [f"{VERDICT_SIGNS['hold']}{_TIED}{holds}"] if holds else []
    told += [f"{VERDICT_SIGNS['caution']}{_TIED}{cautions}"] if cautions else []
    return _TIED.join(told) or f"{VERDICT_SIGNS[verdict]}{_TIED}{_WORDS[verdict]}"


def _worse(remedy: Remedy, solution: Solution, build: Build) -> str:
    if not remedy.worse:
        return "nothing gets worse"
    found: dict[tuple[str, str], Finding] = {(one.id, one.part): one for one in solution.findings}
    # What gets worse on the other shaft, which is not in sight, is named first.
    named = sorted(remedy.worse, key=lambda one: one.end is None)[:_NAMED]
    told = [_got_worse(one, found.get((one.id, one.part)), build) for one in named]
    more = len(remedy.worse) - len(told)
    return f"worse: {', '.join(told)}{f' and {more} more' if more else ''}"


def _got_worse(worse: Worse, now: Finding | None, build: Build) -> str:
    """One finding that gets worse, e.g. tail low ▲ 6.1°."""
    sign = VERDICT_SIGNS[worse.verdict]
    if worse.end is not None:
        return _of_other(worse, build)
    if now is None:
        return f"{worse.id.replace('_', ' ')} {sign}"
    name = short_name(replace(now, verdict=worse.verdict))  # named by what is wrong then
    if worse.value is None or now.value is None or now.value == worse.value:
        return f"{name}{_TIED}{sign}"
    after = as_read(replace(now, value=worse.value), build).value or 0.0
    return f"{name}{_TIED}{sign}{_TIED}{amount(after, now.unit, build.display)}"


def _of_other(worse: Worse, build: Build) -> str:
    """One finding of the other driveline that gets worse, e.g. front shaft tail high ▲ 2.5°."""
    kind = kind_of(worse)
    value = "" if worse.value is None else f"{_TIED}{amount(worse.value, LIMITS[kind].unit, build.display)}"
    return f"{worse.end} shaft {SHORT[kind]}{_TIED}{VERDICT_SIGNS[worse.verdict]}{value}"
