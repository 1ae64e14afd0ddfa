"""Ways out as the sheet tells them: a finding's first, once, and by its number where a later finding has it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from app.amounts import amount
from app.drawing.wording import whole_words
from app.units import Kind, as_kind, both
from geometry.document import Build
from geometry.words.names import whole_name
from geometry.words.solution import Finding, Remedy
from geometry.words.wording import capital

_Key = tuple[tuple[str, str], ...]
_TWO_UNITS: Final[frozenset[Kind]] = frozenset({"mm", "N·m", "N·m/deg"})


@dataclass(slots=True)
class Ways:
    """Remembers, worst finding first, which changes have been told already."""

    build: Build
    told: dict[_Key, int] = field(default_factory=dict)

    def of(self, finding: Finding, number: int) -> str:
        """A finding's first way out, with what the whole build then is; nothing where it has none."""
        way = finding.remedy
        if way is None:
            return ""
        before = self.told.get(_key(way.changes)) if way.changes else None
        if before is not None:
            after = self._after(finding, way)
            return f"→ as for {before}: then {after}." if after else f"→ as for {before}."
        self.told[_key(way.changes)] = number
        whole = whole_words(way, whole_name(self.build))
        return f"→ {way.says} {capital(whole)}."

    def _after(self, finding: Finding, way: Remedy) -> str:
        """What the finding's value then is, with its verdict where that is not clear."""
        if way.after is None:
            return ""
        if finding.unit in _TWO_UNITS:
            told = both(way.after, as_kind(finding.unit), self.build.display)
        else:
            fine = 2 if finding.unit == "deg" and abs(way.after) < 1.0 else None
            told = amount(way.after, finding.unit, self.build.display, fine)
        if finding.id == "joint_bind":
            told = f"{told} to spare"
        return told if way.after_verdict == "clear" else f"{told} ({way.after_verdict})"


def _key(changes: Mapping[str, Any]) -> _Key:
    return tuple(sorted((entry, repr(value)) for entry, value in changes.items()))
