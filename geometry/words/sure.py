"""How sure the answer is with the person's gauge and tape: readings drawn within their give or take, all judged.

Each reading given as ± a may lie anywhere in that band with equal chance. So may the gauge's zero, which is the same in
all readings: it counts where gauge meets tape and drops out between two gauged lines. Every draw is a row of the judge,
so the exact model says what it comes to (JCGM 101, propagation of distributions by drawing; from memory).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geometry.document import Build
from geometry.document.entries import Variants, unit_of, variants
from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, UNKNOWN, Found, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.judging import at_once, judged_block
from geometry.mechanics.vectors import Floats, slope_deg
from geometry.words.finding import ORDER, title_of
from geometry.words.solve import POSITIONS

DRAWS, TURN = 2_000, 125
"""Draws that tell a chance to a hundredth or so, and how many are worked out in one turn."""
_SEED = 20_000
READ = frozenset(
    {
        "vehicle", "powertrain", "axle", "suspension", "shaft", "readings", "state", "lateral_link", "shocks",
        "torque_bars", "flexible_lines", "perches", "clamp", "square",
    }
)  # fmt: skip
"""Sections that are read off the vehicle with gauge and tape."""
_NOT_READ = frozenset(
    {
        "max_angle_deg", "phase_deg", "front_phase_deg", "rear_phase_deg", "caster_wanted_deg",
        "outer_diameter_mm", "wall_mm", "swing_mm", "tube_diameter_mm", "spline_diameter_mm", "bolt_circle_mm",
        "bolt_mm", "cap_mm", "span_mm", "pilot_mm", "seal_mm", "barrel_mm", "stroke_mm", "bump_squash_mm",
        "bearing_step_mm", "bearing_bolts_mm", "engine_height_mm", "engine_length_mm", "gearbox_height_mm",
        "gearbox_length_mm", "frame_depth_mm", "frame_height_mm", "compressed_mm", "extended_mm", "float_mm",
        "seal_travel_mm", "mass_centre_height_mm", "spring_width_mm", "plate_mm", "rod_mm", "pin_mm", "wedge_mm",
        "weld_pull_deg",
    }
)  # fmt: skip
"""Entries that neither the angle gauge nor the tape tells: from a caliper, a plate, or set by the person."""
_NONE_AT_NOUGHT = ("clamp.block_mm", "perches.casting_gap_mm")
"""Entries that are looked at and not taped where they are nought, and never less."""
_OF_READINGS = frozenset(
    {
        "stick_slope", "tape_length", "axle_station", "axle_height", "spring_station", "gauge_resolution", "perch_chain",
    }
)  # fmt: skip
"""Findings about the readings themselves, which to draw anew says nothing of."""
_ZERO = "gauge.zero_uncertainty_deg"
_CHANCE = 12.0
"""Squared correlations of what hangs on each other in nothing are 1 in the number of draws; twelve times that is rare:
the tail of a normal beyond three and a half of its spreads (JCGM 101 works by drawing; the rule of thumb from memory)."""
_TOLD = 0.02
"""Least share of all doubt that is worth a reading's being taken again."""
_DOUBTFUL = 0.025
"""A verdict that comes out in fewer of the draws than this is not counted as doubtful."""


@dataclass(frozen=True)
class Interval:
    """Where a value lies in 95 of 100 draws."""

    name: str
    low: float
    high: float


@dataclass(frozen=True)
class Chance:
    """How many of all draws each verdict of a finding comes out in, as shares; what is not asked there is clear.

    `again` is the reading that its doubt hangs on most, None where there is no doubt.
    """

    id: str
    part: str
    title: str
    clear: float
    unknown: float
    caution: float
    hold: float
    again: str | None = None

    @property
    def bad(self) -> bool:
        """Whether it warns or holds in any draw, so that its title names the trouble."""
        return self.caution + self.hold > 0.0

    @property
    def doubtful(self) -> bool:
        """Whether gauge and tape leave its verdict open."""
        return sum(share > _DOUBTFUL for share in (self.clear, self.unknown, self.caution, self.hold)) > 1


@dataclass(frozen=True)
class Sure:
    """How sure it is: `draws` so far; the whole build's chances; angles and length; each finding, the doubtful first.

    `again` are the readings to take again, the one that most doubt hangs on first, each with its share of all doubt.
    """

    draws: int
    whole: Chance
    intervals: tuple[Interval, ...]
    findings: tuple[Chance, ...]
    again: tuple[tuple[str, float], ...]


def tool_of(path: str) -> str | None:
    """What an entry is read by, "gauge" or "tape"; None where neither tells it.

    Of another driveline that is the slope of its output alone, to which the plan may turn the engine for both.

    >>> tool_of("powertrain.slope_deg"), tool_of("axle.centre_mm.2"), tool_of("shaft.tube.wall_mm")
    ('gauge', 'tape', None)
    """
    names = path.split(".")
    if names[2:] == ["output", "slope_deg"]:
        return "gauge"
    if names[0] not in READ or any(name in _NOT_READ for name in names):
        return None
    return {"deg": "gauge", "mm": "tape"}.get(unit_of(path))


def drawn(build: Build, draws: int, seed: int = _SEED) -> Variants:
    """So many variants of a build, every reading drawn within its tool's give or take.

    A tool whose give or take is not entered is taken as exact.

    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.0, "gauge.angle_uncertainty_deg": 0.1})
    >>> bool((abs(drawn(build, 1000)["powertrain.slope_deg"] - 3.0) <= 0.1).all())
    True
    """
    return _drawn(build, draws, seed)[0]


def _drawn(build: Build, draws: int, seed: int) -> tuple[Variants, Floats]:
    """Variants as `drawn` has them, and how far off the gauge's zero is in each, degrees, (draws,)."""
    rng = np.random.default_rng(seed)
    v = variants(build)
    give = {"gauge": v["gauge.angle_uncertainty_deg"], "tape": v["gauge.tape_uncertainty_mm"]}
    zero = v.given(_ZERO, 0.0) * rng.uniform(-1.0, 1.0, draws)
    columns: dict[str, Floats] = {}
    for path in sorted(v.numbers):
        tool, value = tool_of(path), v[path]
        none = path in _NONE_AT_NOUGHT
        if tool is not None and np.isfinite(value) and not (none and value == 0.0):
            own = np.nan_to_num(give[tool]) * rng.uniform(-1.0, 1.0, draws)
            if tool == "gauge" and not path.endswith("plan_deg"):  # seen from above, no level is used
                own = own + zero
            if own.any():
                columns[path] = np.maximum(value + own, 0.0) if none else value + own
    return (variants(build, columns) if columns else v.repeated(draws)), zero


def in_turns(build: Build, draws: int = DRAWS, *, travel: bool = True, seed: int = _SEED) -> Iterator[Sure]:
    """How sure the answer is, told of more and more draws; each turn is short enough for a hand to go on."""
    rows, zero = _drawn(build, draws, seed)
    blocks: list[_Block] = []
    for block in _blocks(rows, travel=travel):
        blocks.append(block)
        yield _told(build, rows, zero, blocks)


def sure(build: Build, draws: int = DRAWS, *, travel: bool = True, seed: int = _SEED) -> Sure:
    """How sure the answer is with the gauge and the tape that the build was measured with.

    Parameters
    ----------
    draws
        How often all readings are drawn.
    travel
        Whether the whole travel is judged, or ride height alone.
    seed
        The same seed gives the same draws.

    Examples
    --------
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8,
    ...                          "axle.pinion_slope_deg": 4.5, "gauge.angle_uncertainty_deg": 0.1})
    >>> chance = next(one for one in sure(build).findings if one.id == "ends_parallel")
    >>> chance.doubtful, round(chance.clear, 1)  # a degree apart, on the line: heads or tails
    (True, 0.5)
    """
    rows, zero = _drawn(build, draws, seed)
    return _told(build, rows, zero, list(_blocks(rows, travel=travel)))


def told_by(facts: Facts) -> dict[str, Floats]:
    """Joint angles and slopes, degrees, and the shaft's length, mm, of each row at ride height after the plan."""
    kinds, pose = facts.kinds, facts.pose
    values = {
        f"{name} joint": angle for name, angle in zip(kinds.names, facts.operating_deg(facts.rest_chain), strict=True)
    }
    values["output"], values["pinion"] = slope_deg(pose.output), slope_deg(pose.pinion)
    values["shaft"], values["length"] = slope_deg(pose.sections[-1]), facts.lengths_mm[-1]
    return {name: np.broadcast_to(value, facts.v.rows) for name, value in values.items()}


@dataclass(frozen=True)
class _Block:
    """What some of the draws come to."""

    found: Found
    values: Mapping[str, Floats]


def _blocks(rows: Variants, *, travel: bool) -> Iterator[_Block]:
    for _, some in rows.blocks(TURN if travel else at_once(rows, 0)):
        with np.errstate(all="ignore"):
            facts = Facts(some, POSITIONS if travel else 0)
            block = _Block(judged_block(facts), told_by(facts))
        yield block


def _told(build: Build, rows: Variants, zero: Floats, blocks: Sequence[_Block]) -> Sure:
    keys = [
        key
        for key in blocks[0].found
        if key[0] not in _OF_READINGS and any((one.found[key].verdict != NOT_ASKED).any() for one in blocks)
    ]
    keys.sort(key=lambda key: ORDER.index(finding_id(key)))
    codes = {key: np.concatenate([one.found[key].verdict for one in blocks]) for key in keys}
    worst = np.max(list(codes.values()), axis=0)
    draws = worst.size
    paths = [*rows.columns, *([_ZERO] if zero.any() else [])]
    chances = [_chance(build, key, codes[key]) for key in keys]
    shares = np.zeros((len(keys), len(paths)))
    doubted = [number for number, one in enumerate(chances) if one.doubtful]
    if doubted and paths:
        readings = _readings(rows, zero[:draws])
        for number in doubted:
            shares[number] = _shares(_values(blocks, keys[number]), readings)
            again = paths[int(shares[number].argmax())] if shares[number].any() else ""
            chances[number] = replace(chances[number], again=again)
    values = {name: np.concatenate([one.values[name] for one in blocks]) for name in blocks[0].values}
    return Sure(
        draws,
        Chance("", "", "Whole build", *_of(worst)),
        tuple(_interval(name, value) for name, value in values.items() if np.isfinite(value).any()),
        tuple(sorted(chances, key=lambda one: (not one.doubtful, abs(one.clear - 0.5)))),
        _again(chances, shares, paths),
    )


def _readings(rows: Variants, zero: Floats) -> Floats:
    """How far off each reading is in each draw, (readings, draws); the zero, the same in all, is a row of its own."""
    apart = []
    for path in rows.columns:
        by_gauge = tool_of(path) == "gauge" and not path.endswith("plan_deg")
        apart.append(rows[path][: zero.size] - (zero if by_gauge else 0.0))
    readings = np.array([*apart, *([zero] if zero.any() else [])])
    readings -= readings.mean(axis=1, keepdims=True)
    return readings


def _of(codes: NDArray[np.uint8]) -> tuple[float, float, float, float]:
    """Shares of clear, unknown, caution and hold."""
    clear = float(np.mean((codes == CLEAR) | (codes == NOT_ASKED)))
    unknown, caution, hold = (float(np.mean(codes == code)) for code in (UNKNOWN, CAUTION, HOLD))
    return clear, unknown, caution, hold


def _chance(build: Build, key: Key, codes: NDArray[np.uint8]) -> Chance:
    return Chance(*key, title_of(build, key, bad=bool((codes >= CAUTION).any())), *_of(codes))


def _interval(name: str, values: Floats) -> Interval:
    low, high = np.nanquantile(values, (0.025, 0.975))
    return Interval(name, float(low), float(high))


def _values(blocks: Sequence[_Block], key: Key) -> Floats:
    return np.concatenate([np.broadcast_to(one.found[key].value, one.found[key].verdict.size) for one in blocks])


def _shares(value: Floats, readings: Floats) -> Floats:
    """How much of the spread of a finding's value comes from each reading, (readings,): its correlation squared.

    `readings` (readings, draws) are off their means, and drawn apart from each other. What they do is all but linear, so
    that the squares add up to one; where the value turns about, as a difference that may be either way does, it goes
    with how far a reading is off and not with which way, and that is counted too. What mere chance would show is nothing.
    """
    known = np.isfinite(value)
    if known.sum() < 3:
        return np.zeros(len(readings))
    if not known.all():
        value, readings = value[known], readings[:, known]
        readings = readings - readings.mean(axis=1, keepdims=True)
    off = value - value.mean()
    return _squared(off, readings) + _squared(off, readings**2)


def _squared(off: Floats, readings: Floats) -> Floats:
    """The square of each row's correlation with a value, (readings,); 0 where so many draws show as much by chance."""
    readings = readings - readings.mean(axis=1, keepdims=True)
    size = np.sqrt(np.einsum("rd,rd->r", readings, readings) * (off @ off))
    squares: Floats = np.where(size > 0.0, (readings @ off) / np.where(size > 0.0, size, 1.0), 0.0) ** 2
    return np.where(squares * off.size > _CHANCE, squares, 0.0)


def _again(chances: Sequence[Chance], shares: Floats, paths: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Readings by their share of all doubt: a finding that may as well be one as the other counts most."""
    total = np.zeros(len(paths))
    for chance, share in zip(chances, shares, strict=True):
        total += 4.0 * chance.clear * (1.0 - chance.clear) * share
    whole = total.sum()
    if not whole > 0.0:
        return ()
    order = np.argsort(-total, kind="stable")
    return tuple((paths[number], float(total[number] / whole)) for number in order if total[number] >= _TOLD * whole)
