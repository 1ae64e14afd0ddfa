"""What the findings want measured, and what to measure next: one answer, whoever asks."""

from __future__ import annotations

import re
from typing import Final

from app.measuring.entries import Entry
from app.measuring.sections import HEADINGS, contents, flat, section_of
from app.measuring.walk import in_walking_order
from geometry.document import Build, value_at
from geometry.words.names import name_of
from geometry.words.solution import Solution
from geometry.words.wording import small

_OWNED: Final = re.compile(r"(front|centre|rear) (joint|section)'s ")


def wanted_by(build: Build, solution: Solution) -> dict[str, str]:
    """Empty entries that findings want which are not judged, with those findings' titles."""
    wanted: dict[str, list[str]] = {}
    for finding in solution.findings:
        if finding.verdict == "unknown" and finding.entry:
            own = section_of(build, finding.entry)[1]
            if value_at(build, own) is None:  # else not this, but what is judged from it is still open
                wanted.setdefault(own, []).append(finding.title)
    return {path: ", ".join(dict.fromkeys(titles)) for path, titles in wanted.items()}


def next_entry(build: Build, solution: Solution) -> Entry | None:
    """The first entry that a finding wants, of those read in a hurry, then as one walks; None where none is wanted."""
    wanted = wanted_by(build, solution)
    if not wanted:
        return None
    entries = {entry.path: entry for heading in HEADINGS for entry in flat(contents(build, heading.key))}
    order = (*in_walking_order(build), *entries)  # what no line of the walk has comes last
    return next((entries[path] for path in order if path in wanted and path in entries), None)


def next_words(build: Build, solution: Solution) -> str:
    """Its name as the form has it, within a sentence, with the joint that it is of; nothing where none is wanted."""
    entry = next_entry(build, solution)
    if entry is None:
        return ""
    named = name_of(build, entry.path).removeprefix("the ")
    return named if _OWNED.match(named) else small(entry.title)
