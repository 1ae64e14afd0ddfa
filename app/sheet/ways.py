"""Ways out as the sheet tells them: each once, and by its finding's number where a later finding has it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from app.sheet.amounts import amount
from app.sheet.flow import cleaned
from geometry.document.vehicle import Display
from geometry.solution import Finding, Remedy

_ORDINALS: Final = ("first", "second", "third", "fourth", "fifth", "sixth")
_Key = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a way was told in full."""

    number: int
    at: int
    of: int

    def words(self) -> str:
        """Reference to it, as short as it is clear."""
        if self.of == 1:
            return f"as for {self.number}"
        way = _ORDINALS[self.at] if self.at < len(_ORDINALS) else f"{self.at + 1}th"
        return f"as for {self.number}, {way} way"


@dataclass(slots=True)
class Ways:
    """Remembers, worst finding first, which changes have been told already."""

    display: Display
    told: dict[_Key, _Place] = field(default_factory=dict)

    def of(self, finding: Finding, number: int | None) -> tuple[tuple[str, ...], str]:
        """All of a finding's ways, and the first of them so that it can stand without the others."""
        ways = [way for way in (finding.remedy, *finding.alternatives) if way is not None]
        if not ways:
            return (), ""
        before = [self.told.get(_key(way.changes)) for way in ways]
        if number is not None:
            for at, way in enumerate(ways):
                if way.changes:
                    self.told.setdefault(_key(way.changes), _Place(number, at, len(ways)))
        return self._all(finding, ways, before), self._first(finding, ways[0], before[0])

    def _all(self, finding: Finding, ways: list[Remedy], before: list[_Place | None]) -> tuple[str, ...]:
        places = [place for place in before if place is not None]
        number = places[0].number if places else 0
        if places == [_Place(number, at, len(ways)) for at in range(len(ways))]:
            ends = " or ".join(words for way in ways if (words := self._after(finding, way)))
            return (f"as for {number}: then {ends}." if ends else f"as for {number}.",)
        return tuple(
            cleaned(way.says) if place is None else self._again(finding, way, place.words())
            for way, place in zip(ways, before, strict=True)
        )

    def _first(self, finding: Finding, way: Remedy, place: _Place | None) -> str:
        if place is None or place.at:
            return cleaned(way.says)
        return self._again(finding, way, f"as for {place.number}")

    def _again(self, finding: Finding, way: Remedy, reference: str) -> str:
        after = self._after(finding, way)
        return f"{reference}: then {after}." if after else f"{reference}."

    def _after(self, finding: Finding, way: Remedy) -> str:
        """What the finding's value then is, with its verdict where that is not clear."""
        if way.after is None:
            return ""
        fine = 2 if finding.unit == "deg" and abs(way.after) < 1.0 else None
        told = cleaned(amount(way.after, finding.unit, self.display, fine))
        return told if way.after_verdict == "clear" else f"{told} ({way.after_verdict})"


def _key(changes: Mapping[str, Any]) -> _Key:
    return tuple(sorted((entry, repr(value)) for entry, value in changes.items()))
