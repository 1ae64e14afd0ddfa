"""Findings as the sheet tells them: grouped by verdict, with value and limit, and a letter for each basis."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from string import ascii_lowercase
from typing import Final

from app.sheet.amounts import amount_words, value_words
from app.sheet.flow import cleaned
from app.sheet.ways import Ways
from app.sketch.words import ANGLE_FINDINGS
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, Solution, Verdict

ORDER: Final[tuple[Verdict, ...]] = ("hold", "caution", "unknown", "clear")
FLAGGED: Final = frozenset({"hold", "caution"})
_WANTED: Final = re.compile(r"measure or enter (.*?)\.(?: |$)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding in words, or several: unknown ones that want the same, clear ones that differ by their part alone.

    `number` counts what holds or warns, worst first, so that the drawing's flags can name it. `value` is the amount
    without its limit, `says` of an unknown one what it wants, `way` the first way out, `findings` how many it tells.
    """

    verdict: Verdict
    title: str
    amount: str
    value: str
    says: str
    way: str
    bases: tuple[str, ...]
    number: int | None = None
    findings: int = 1


@dataclass(slots=True)
class Letters:
    """Footnote letters for bases, in the order in which they are first met."""

    found: dict[str, str] = field(default_factory=dict)

    def of(self, basis: str) -> str:
        """Letter of a basis; nothing for one that is not stated."""
        if not basis:
            return ""
        return self.found.setdefault(basis, _letter(len(self.found)))


def _letter(number: int) -> str:
    rest, last = divmod(number, 26)
    return (_letter(rest - 1) if rest else "") + ascii_lowercase[last]


def entries(solution: Solution, display: Display) -> dict[Verdict, tuple[Entry, ...]]:
    """Entries of each verdict, in the solution's own order, which is worst first."""
    titles = [finding.title for finding in solution.findings]
    made: dict[Verdict, list[Entry]] = {verdict: [] for verdict in ORDER}
    ways = Ways(display)
    for number, finding in numbered(solution):
        several = titles.count(finding.title) > 1
        made[finding.verdict].append(_entry(finding, number, display, ways, several=several))
    made["unknown"] = _wanting_the_same(made["unknown"])
    made["clear"] = _same_title(made["clear"])
    return {verdict: tuple(found) for verdict, found in made.items()}


def numbered(solution: Solution) -> list[tuple[int | None, Finding]]:
    """Findings worst first, those that hold or warn with their numbers."""
    ordered = sorted(solution.findings, key=lambda finding: ORDER.index(finding.verdict))
    return [(at + 1 if one.verdict in FLAGGED else None, one) for at, one in enumerate(ordered)]


def keyed(solution: Solution) -> Solution:
    """The same solution with findings that name their numbers alone, one a part and verdict, for the drawing's flags.

    The sheet has every sentence beside the drawing, so a flag needs no more than the key to it.
    """
    groups: dict[tuple[str, Verdict], list[tuple[int, Finding]]] = {}
    for number, finding in numbered(solution):
        if number is not None:
            groups.setdefault((finding.part, finding.verdict), []).append((number, finding))
    kept = []
    for same in groups.values():
        # The drawing colours a joint's angle by the finding on it, which must be the one to stand for its group.
        stands = next((one for _, one in same if one.id in ANGLE_FINDINGS), same[0][1])
        kept.append(replace(stands, title=", ".join(str(number) for number, _ in same), value=None, limit=None))
    return replace(solution, findings=tuple(kept))


def short_basis(basis: str) -> str:
    """Kind of a basis without its source: the words before the colon, or the first few."""
    return basis.partition(":")[0].strip()[:40]


def _entry(finding: Finding, number: int | None, display: Display, ways: Ways, *, several: bool) -> Entry:
    flagged = finding.verdict in FLAGGED
    title = f"{finding.title}, {finding.part.replace('_', ' ')}" if several and flagged else finding.title
    says = cleaned(finding.says)
    wanted = _WANTED.search(says) if finding.verdict == "unknown" else None
    basis = cleaned(finding.basis)
    return Entry(
        finding.verdict,
        cleaned(title),
        amount_words(finding, display),
        value_words(finding, display),
        says if wanted is None else wanted[1],
        ways.of(finding, number) if flagged else "",
        (basis,) if basis and flagged else (),
        number,
    )


def _wanting_the_same(found: Sequence[Entry]) -> list[Entry]:
    """Unknown findings that want the same, told once under all their titles."""
    groups: dict[str, list[Entry]] = {}
    for entry in found:
        groups.setdefault(entry.says, []).append(entry)
    return [replace(same[0], title=_listed(one.title for one in same), findings=len(same)) for same in groups.values()]


def _same_title(found: Sequence[Entry]) -> list[Entry]:
    """Clear findings of one title, such as those of the joints, told under it once with all their values."""
    groups: dict[str, list[Entry]] = {}
    for entry in found:
        groups.setdefault(entry.title, []).append(entry)
    return [
        replace(same[0], value=", ".join(dict.fromkeys(one.value for one in same if one.value)), findings=len(same))
        for same in groups.values()
    ]


def _listed(titles: Iterable[str]) -> str:
    first, *rest = dict.fromkeys(titles)
    return ", ".join([first, *(title[:1].lower() + title[1:] for title in rest)])
