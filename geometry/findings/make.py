"""How a finding is made: a row of the limits table, a value, a sentence, perhaps a remedy."""

from collections.abc import Sequence

from geometry.limits import LIMITS
from geometry.solution import Finding, Part, Remedy, Verdict
from geometry.wording import listed


def found(
    limit_id: str,
    part: Part,
    verdict: Verdict,
    says: str,
    entry: str,
    *,
    value: float | None = None,
    limit: float | None = None,
    remedies: Sequence[Remedy] = (),
    title: str = "",
    suffix: str = "",
) -> Finding:
    """Make a finding from its row of the limits table; remedies are kept only where something is wrong.

    `suffix` tells findings of one row on one part apart, as for several obstacles. What is unknown carries no value:
    a number that does not settle the question belongs in the sentence.
    """
    row = LIMITS[limit_id]
    offered = tuple(remedies) if verdict in {"caution", "hold"} else ()
    return Finding(
        id=limit_id + suffix, title=title or row.title, part=part, verdict=verdict, value=None if verdict == "unknown" else value, limit=limit, unit=row.unit, says=says,
        remedy=offered[0] if offered else None, alternatives=offered[1:], basis=row.basis_text, entry=entry,
    )  # fmt: skip


def missing(
    limit_id: str, part: Part, wants: Sequence[tuple[str, str]], *, extra: str = "", entry: str = "", suffix: str = ""
) -> Finding:
    """Make an unknown finding that names the measurements it wants, given as (entry, name) pairs."""
    names = list(dict.fromkeys(name for _, name in wants))
    says = f"Not judged: measure or enter {listed(names)}.{' ' + extra if extra else ''}"
    return found(limit_id, part, "unknown", says, entry or wants[0][0], suffix=suffix)


def nearest_line(limit_id: str, verdict: Verdict, scale: float = 1.0) -> float:
    """Return the line that a value met or missed: the clear line while it passes or is cautioned, else the hold line."""
    row = LIMITS[limit_id]
    return (row.hold if verdict == "hold" else row.clear) * scale
