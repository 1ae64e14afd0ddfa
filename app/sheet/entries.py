"""Findings as the sheet tells them: grouped by verdict, with value and limit, and a letter for each basis."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from string import ascii_lowercase
from typing import Final

from app.sheet.flow import NO_BREAK, cleaned
from app.sketch.words import ANGLE_FINDINGS
from app.units import Kind, as_kind, both, show
from geometry.solution import Finding, Solution, Verdict
from geometry.vehicle import Display

ORDER: Final[tuple[Verdict, ...]] = ("hold", "caution", "unknown", "clear")
FLAGGED: Final = frozenset({"hold", "caution"})
_TWO_UNITS: Final = ("mm", "N·m", "N·m/deg")


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding in words; unknown ones that want the same measurements are told as one.

    `number` counts what holds or warns, worst first, so that the drawing's flags can name it.
    """

    verdict: Verdict
    title: str
    amount: str
    says: str
    ways: tuple[str, ...]
    basis: str
    number: int | None = None


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
    for number, finding in numbered(solution):
        made[finding.verdict].append(_entry(finding, number, display, several=titles.count(finding.title) > 1))
    made["unknown"] = _together(made["unknown"])
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


def _entry(finding: Finding, number: int | None, display: Display, *, several: bool) -> Entry:
    title = f"{finding.title}, {finding.part.replace('_', ' ')}" if several else finding.title
    ways = [finding.remedy] if finding.remedy is not None else []
    return Entry(
        finding.verdict,
        cleaned(title),
        amount_words(finding.value, finding.limit, finding.unit, display),
        cleaned(finding.says),
        tuple(cleaned(way.says) for way in (*ways, *finding.alternatives)),
        cleaned(finding.basis),
        number,
    )


def _together(found: Sequence[Entry]) -> list[Entry]:
    """Unknown findings that say the same thing, told once under all their titles."""
    groups: dict[tuple[str, str], list[Entry]] = {}
    for entry in found:
        groups.setdefault((entry.says, entry.amount), []).append(entry)
    return [
        replace(same[0], title=_listed(one.title for one in same), basis=_one(one.basis for one in same))
        for same in groups.values()
    ]


def _listed(titles: Iterable[str]) -> str:
    first, *rest = dict.fromkeys(titles)
    return ", ".join([first, *(title[:1].lower() + title[1:] for title in rest)])


def _one(texts: Iterable[str]) -> str:
    """The text that all have in common, or nothing."""
    found = list(dict.fromkeys(texts))
    return found[0] if len(found) == 1 else ""


def amount_words(value: float | None, limit: float | None, unit: str, display: Display) -> str:
    """Value and limit, e.g. 696 rad/s², limit 400; both units where it is a length or a torque.

    Decimals are added until a value over its limit does not look equal to it.
    """
    if value is None:
        return ""
    told = _amount(value, unit, display)
    if limit is None:
        return told
    line = _amount(limit, unit, display)
    for places in (1, 2, 3):
        if told != line or value == limit:
            break
        told, line = _amount(value, unit, display, places), _amount(limit, unit, display, places)
    value_sign, limit_sign = (words.rpartition(" ")[2] for words in (told, line))
    if "(" not in line and value_sign == limit_sign != line:
        line = line.removesuffix(f" {limit_sign}")
    told, line = (words.replace(" ", NO_BREAK).replace(f"{NO_BREAK}(", " (") for words in (told, line))
    return f"{told}, limit{NO_BREAK}{line}"


def _amount(value: float, unit: str, display: Display, places: int | None = None) -> str:
    try:
        kind: Kind = as_kind(unit or "ratio")
    except ValueError:
        shown = f"{value:,.{places if places is not None else 0 if abs(value) >= 100.0 else 2}f}".replace("-", "−")
        return f"{shown} {unit}"
    if places is None and kind in _TWO_UNITS:
        return both(value, kind, display)
    return show(value, kind, display, places=places)
