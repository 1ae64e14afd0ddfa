"""What the list of findings shows, row by row."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from app.amounts import reach_deg
from app.drawing.wording import numbered, short_name, value_words
from geometry.document import Build
from geometry.words.solution import Finding, Solution, Verdict

Kind = Literal["finding", "unknown", "clear", "fine"]
_BOTH_WAYS: Final = "shaft_inertia_"


@dataclass(frozen=True)
class Row:
    """One row: findings that are told together, with their numbers in the drawing.

    A `finding` is not clear; `unknown` counts what is not judged, `clear` what is; a `fine` one is a clear finding.
    """

    kind: Kind
    findings: tuple[Finding, ...]
    numbers: tuple[int, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The verdict of its findings."""
        return self.findings[0].verdict

    @property
    def keys(self) -> list[tuple[str, str]]:
        """(id, part) of its findings."""
        return [(one.id, one.part) for one in self.findings]


def apart(row: Row) -> list[Row]:
    """The row's findings, each in a row of its own."""
    return [Row(row.kind, (one,), (number,)) for one, number in zip(row.findings, row.numbers, strict=True)]


def rows_of(solution: Solution, *, paired: bool, opened: bool) -> list[Row]:
    """The rows: what is not clear, worst first; then what is not judged; then what is clear, itself where `opened`.

    `paired` has the same finding on several joints share a row, and the shaft's unevenness in driving and coasting.
    """
    rows: list[Row] = []
    for number, finding in numbered(solution):
        last = rows[-1] if rows else None
        alike = last is not None and _kin(last.findings[0]) == _kin(finding) and last.verdict == finding.verdict
        if paired and alike and last is not None:
            rows[-1] = Row("finding", (*last.findings, finding), (*last.numbers, number))
        else:
            rows.append(Row("finding", (finding,), (number,)))
    unknown = [one for one in solution.findings if one.verdict == "unknown"]
    if unknown:
        rows.append(Row("unknown", tuple(unknown)))
    clear = sorted((one for one in solution.findings if one.verdict == "clear"), key=_room_left)
    if clear:
        rows.append(Row("clear", tuple(clear)))
        if opened:
            rows += [Row("fine", (one,)) for one in clear]
    return rows


def _kin(finding: Finding) -> str:
    return _BOTH_WAYS if finding.id.startswith(_BOTH_WAYS) else finding.id


def _room_left(finding: Finding) -> tuple[bool, float]:
    """How near to its limit a finding is, nearest first; the readings' own checks come last."""
    if finding.value is None or not finding.limit:
        return finding.part == "readings", 9.0
    used = finding.value / finding.limit if finding.sense == "at most" else finding.limit / (finding.value or 1e-9)
    return finding.part == "readings", -used


def name_of(row: Row) -> str:
    """A row's findings in a few letters: what all of them are."""
    name = short_name(row.findings[0])
    return name if short_name(row.findings[-1]) == name else name.partition(",")[0]


def values_of(row: Row, build: Build) -> tuple[str, str]:
    """The values of a row, their unit once, and the limit that all of them have, or ""."""
    told = [value_of(one, build).partition(", ") for one in row.findings if one.value is not None]
    limits = {f", {limit}" if limit else "" for _, _, limit in told}
    values = [value for value, _, _ in told]
    unit = values[-1].partition(" ")[2] if values else ""
    said = [*(one.removesuffix(f" {unit}") for one in values[:-1]), *values[-1:]]
    return " / ".join(said), limits.pop() if len(limits) == 1 else ""


def value_of(finding: Finding, build: Build) -> str:
    """A finding's value and limit, as the drawing has them."""
    most = reach_deg(finding.part, build) if finding.id == "joint_bind" else None
    return value_words(finding, build.display, most)


def counts(findings: Iterable[Finding]) -> list[tuple[Verdict, int]]:
    """How many findings have each verdict, worst first; those that none has are left out."""
    found = list(findings)
    order: tuple[Verdict, ...] = ("hold", "caution", "unknown", "clear")
    told = [(verdict, sum(one.verdict == verdict for one in found)) for verdict in order]
    return [(verdict, count) for verdict, count in told if count]
