"""A build over road speed, in the words that terminal and window share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from app.complaints import one_line
from app.drawing.palette import VERDICT_SIGNS
from app.terminal import headed, wrapped
from app.units import Kind, as_kind, scale, show
from geometry.document import Build, edited
from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS, Codes
from geometry.mechanics.vectors import Floats
from geometry.words.solution import Verdict
from geometry.words.solve import Work, solved
from geometry.words.speeds import Gear, OverSpeed
from geometry.words.study import Studied
from geometry.words.wording import capital, small

_ROWS: Final = (
    ("Uneven running at the pinion", "Uneven at pinion", ("pinion_residual",)),
    ("Shaft uneven, driving / coasting", "Shaft, drive / coast", ("shaft_inertia_drive", "shaft_inertia_coast")),
    ("Joint angle for its speed", "Joint angle", ("operating_angle_most",)),
    ("Shaft speed", "Shaft speed", ("critical_speed", "half_critical_speed")),
)
"""What is shown over speed: its title, shortly, and the findings that it is made of."""
_TOLD: Final = 13
"""Speeds that the terminal tells of, at most."""
_WANTED: Final = "Not judged: "


@dataclass(frozen=True)
class SpeedRow:
    """One thing over speed: its curves, the lines of the first of them, and the worst verdict, (n,) each."""

    title: str
    short: str
    kind: Kind
    curves: tuple[Floats, ...]
    clear: Floats | None
    hold: Floats | None
    codes: Codes

    def value_words(self, speeds: Floats, at_kmh: float, display: Display) -> str:
        """What its curves come to at a speed."""
        values = [float(np.interp(at_kmh, speeds, one)) for one in self.curves]
        said = ["–" if value != value else show(value, self.kind, display) for value in values]  # noqa: PLR0124
        return " / ".join([*(one.rsplit(" ", 1)[0] for one in said[:-1]), said[-1]])

    def lines_words(self, speeds: Floats, at_kmh: float, display: Display) -> str:
        """Its lines at a speed, the unit told once: most 300, hold 400 rad/s²; nothing where there are none."""
        lines = [None if one is None else float(np.interp(at_kmh, speeds, one)) for one in (self.clear, self.hold)]
        said = [
            (word, show(one, self.kind, display))
            for word, one in zip(("most", "hold"), lines, strict=True)
            if one is not None and np.isfinite(one)
        ]
        but_last = [f"{word} {value.partition(' ')[0]}" for word, value in said[:-1]]
        return ", ".join([*but_last, *(f"{word} {value}" for word, value in said[-1:])])

    def verdict(self, speeds: Floats, at_kmh: float) -> Verdict:
        """Its verdict at the nearest speed that was judged."""
        return WORDS[int(self.codes[np.abs(speeds - at_kmh).argmin()])]  # type: ignore[return-value]


def rows_of(found: OverSpeed) -> tuple[SpeedRow, ...]:
    """What is shown over speed, in one order; what is not asked of the build is left out."""
    made = []
    for title, short, names in _ROWS:
        some = [one for name in names for one in found.findings if one.id == name]
        if some:
            made.append(_row(title, short, some, found))
    return tuple(made)


def _row(title: str, short: str, some: list[Studied], found: OverSpeed) -> SpeedRow:
    first = some[0]
    curves = (found.shaft_rpm,) if first.id == "critical_speed" else tuple(one.judged.value for one in some)
    lines = [np.broadcast_to(one, found.speeds_kmh.shape) for one in (first.judged.clear, first.judged.hold)]
    clear, hold = (line if np.isfinite(line).any() else None for line in lines)
    codes = np.max([one.judged.verdict for one in some], axis=0)
    return SpeedRow(title, short, as_kind(first.limit.unit), curves, clear, hold, codes)


def sentence(found: OverSpeed, display: Display) -> str:
    """From where to where it runs smooth, and what ends that."""
    if all(one.verdict == "unknown" for one in found.whole):
        return "Not judged yet."
    parts = []
    for one in found.whole:
        word = {"clear": "smooth", "unknown": "not judged"}.get(one.verdict or "unknown", one.verdict)
        why = f": {small(one.decides)}" if one.verdict in {"caution", "hold"} else ""
        parts.append(f"{word} to {show(one.last, 'km/h', display, places=0)}{why}")
    text = "; then ".join([*parts[:5], *(["…"] if len(parts) > 5 else [])])
    return f"{capital(text)}."


def wants_of(build: Build, found: OverSpeed) -> tuple[str, ...]:
    """What is missing for it and which rows want it, as the findings say at the first speed that is not judged."""
    unjudged = [one.first for one in found.whole if one.verdict == "unknown"]
    if not unjudged:
        return ()
    speeds = {"vehicle.cruise_speed_kmh": unjudged[0], "vehicle.top_speed_kmh": unjudged[0]}
    findings = solved(Work(edited(build, speeds)), with_ways=False).findings
    rows: dict[str, list[str]] = {}
    for title, _, names in _ROWS:
        for says in dict.fromkeys(one.says for one in findings if one.id in names and one.verdict == "unknown"):
            rows.setdefault(says, []).append(title)
    return tuple(
        f"{'; '.join([titles[0], *map(small, titles[1:])])}: {small(says.removeprefix(_WANTED))}"
        for says, titles in rows.items()
    )


def gear_words(gear: Gear, display: Display) -> str:
    """How far a gear goes: gear 3, 1.50: to 59 mph at the redline."""
    reach = gear.redline_kmh
    to = "" if reach is None else f": to {show(reach, 'km/h', display, places=0)} at the redline"
    return f"Gear {gear.number}, {show(gear.ratio, 'ratio', display, places=2)}{to}"


def speeds_text(build: Build, found: OverSpeed, source_name: str) -> str:
    """Return it as text, no line wider than 98 columns."""
    display, speeds = build.display, found.speeds_kmh
    lines = [headed(build, source_name), *wrapped(sentence(found, display))]
    wants = wants_of(build, found)
    lines += [line for said in wants for line in wrapped(said, "  ")]
    rows = rows_of(found)
    if np.isfinite(found.shaft_rpm).any():
        lines += ["", _line("Speed", [row.short for row in rows])]
        for at in _told(found, display):
            cruise = "  cruise" if at == found.cruise_kmh else ""
            cells = [f"{VERDICT_SIGNS[row.verdict(speeds, at)]} {row.value_words(speeds, at, display)}" for row in rows]
            lines.append(_line(f"{show(at, 'km/h', display, places=0)}{cruise}", cells))
    if found.critical_rpm is not None:
        critical, *halves = (show(one, "rpm", display) for one in (found.critical_rpm, *found.half_critical_rpm))
        of_other = "".join(f", half of the other section's {half}" for half in halves[1:])
        lines += ["", f"Critical speed {critical}, half of it {halves[0]}{of_other}"]
    lines += ["", *(one_line(gear_words(one, display)) for one in found.gears)] if found.gears else []
    lines += [
        "",
        "; ".join(f"{VERDICT_SIGNS[verdict]} {verdict}" for verdict in ("clear", "caution", "hold", "unknown")),
    ]
    return "\n".join(lines) + "\n"


def _told(found: OverSpeed, display: Display) -> list[float]:
    """Speeds that the terminal tells of: every tenth or twentieth, in the person's unit, and the cruising speed."""
    most, unit = float(found.speeds_kmh[-1]), 1.0 / scale("km/h", display)
    step = next(one for one in (5.0, 10.0, 20.0, 50.0, 100.0) if one >= most / unit / _TOLD)
    told = np.arange(1, int(most / unit / step + 1e-9) + 1) * step * unit
    cruise = found.cruise_kmh
    return sorted({*told.tolist(), *([] if cruise is None or cruise > most else [cruise])})


def _line(first: str, cells: Sequence[str]) -> str:
    return f"{first:18}{''.join(f'{one:21} ' for one in cells)}".rstrip()
