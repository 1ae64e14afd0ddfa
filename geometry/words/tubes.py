"""Which tube the shaft is best made of, one piece or two: every tube that can be had, judged as a row of the one judge."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, NamedTuple, cast

import numpy as np

from geometry.document import Build, edited, value_at
from geometry.document.entries import Variants, variants
from geometry.document.running_gear import OnePieceShaft, TwoPieceShaft
from geometry.document.vehicle import Display
from geometry.judge import judge
from geometry.judge.codes import WORDS, Found, finding_id
from geometry.judge.facts import Facts
from geometry.judge.limits import LIMITS
from geometry.judge.search import holds_and_cautions
from geometry.judge.ways import ALIKE_MM, own_diameters, sized
from geometry.mechanics.trade_sizes import STOCK_TUBES
from geometry.mechanics.vectors import RADIAN, Floats
from geometry.words.solution import Triple, Verdict
from geometry.words.wording import MM_PER_INCH, number, worded

POSITIONS = 41
OWN_LIST, PRESENT = "your own list", "as entered"
_SHARES = (0.4, 0.45, 0.5, 0.55)
"""Where between output and pinion a support bearing is tried: about the middle, as the longer section whirls first."""
_BENDS_DEG = (-1.25, -1.0, -0.75, 0.75, 1.0, 1.25)
"""Angles at the output at which it is tried: half a degree to one and a half is common practice for a first joint."""
_PHASES_DEG = (0.0, 90.0)
_LAST = float("inf")


class _Tube(NamedTuple):
    """A tube that can be had."""

    material: str
    outer_mm: float
    wall_mm: float
    yield_mpa: float | None
    source: str


@dataclass(frozen=True, slots=True)
class TubeOption:
    """One tube in one piece or two, with what the judge says of the whole build that has it.

    `critical_rpm` is the lowest of the sections', `share` the highest shaft speed over it; `shear_mpa` the most of the
    sections'. `swing_mm` is the widest that turns, tube or yokes; `least_angle_deg` the smallest joint angle at ride
    height. `bearing_mm` is where the support bearing of two pieces sits. `changes` are the edits that make the shaft so.
    """

    pieces: Literal[1, 2]
    material: Literal["steel", "aluminium"]
    outer_mm: float
    wall_mm: float
    source: str
    present: bool
    verdict: Verdict
    holds: int
    cautions: int
    highest_rpm: float | None
    critical_rpm: float | None
    share: float | None
    critical_verdict: Verdict | None
    shear_mpa: float | None
    shear_verdict: Verdict | None
    mass_kg: float | None
    gap_mm: float | None
    gap_verdict: Verdict | None
    swing_mm: float | None
    least_angle_deg: float | None
    bearing_mm: Triple | None
    changes: Mapping[str, Any]
    name: str
    """Sizes and material in the person's unit, such as 3.50 × 0.083 in steel."""
    says: str
    """What it comes to, in a few sentences."""


def tube_options(build: Build) -> tuple[TubeOption, ...]:
    """Every tube that can be had, as the shaft is and in the other number of pieces, best first.

    Tubes are the person's own list where there is one, else common trade sizes; the one that is entered stands among
    them. Best is what holds least, warns least, and is lightest.

    Examples
    --------
    >>> [(one.outer_mm, one.wall_mm) for one in tube_options(Build())][:1]
    [(63.5, 2.1082)]
    """
    made = [*_options(build, _as_it_is(build))]
    other = other_pieces(build)
    if other is not None:
        made += _options(build, other)
    return tuple(sorted(made, key=lambda one: (one.holds, one.cautions, _LAST if one.mass_kg is None else one.mass_kg)))


def _as_it_is(build: Build) -> Build:
    """The build with a shaft, of one piece where there is none."""
    return build if build.shaft is not None else edited(build, {"shaft": {"kind": "one_piece"}})


def _had(build: Build) -> Iterator[_Tube]:
    """Tubes that can be had; those of the person's own list that have both sizes win over the usual ones."""
    own = [_Tube(one.material, outer, wall, one.yield_mpa, OWN_LIST) for one, outer, wall in sized(build.tube_stock)]
    yield from own or [_Tube(one.material, one.outer_mm, one.wall_mm, None, one.source) for one in STOCK_TUBES]


def diameters_had(build: Build) -> dict[str, tuple[float, ...]]:
    """Outside diameters that can be had with material and wall of each tube of the shaft, mm, from the least.

    Where only one can be had, or the tube has no wall yet, there is none to choose. Of the person's own list those
    count that are no weaker than the tube counts, as with another diameter its yield stress stays as it is entered.

    >>> build = edited(Build(), {"shaft": {"kind": "one_piece", "tube": {"outer_diameter_mm": 76.2, "wall_mm": 3.05}}})
    >>> diameters_had(build), diameters_had(edited(build, {"shaft.tube.wall_mm": 2.1}))
    ({}, {'shaft.tube': (63.5, 76.2, 88.9, 101.6)})
    >>> diameters_had(Build()), diameters_had(edited(build, {"shaft.tube.wall_mm": None}))
    ({}, {})
    """
    made = {}
    for entry in _entries(build) if build.shaft is not None else ():
        tube, wall = value_at(build, entry), value_at(build, f"{entry}.wall_mm")
        if wall is not None:
            own = own_diameters(build, entry)
            common = (one for one in STOCK_TUBES if one.material == tube.material)
            sizes = {round(one.outer_mm, 6) for one in common if abs(one.wall_mm - wall) < ALIKE_MM}
            made[entry] = tuple(sorted(sizes if own is None else own))
    return {entry: sizes for entry, sizes in made.items() if len(sizes) > 1}


def _entries(build: Build) -> tuple[str, ...]:
    """Entries of the tubes of a build's shaft."""
    return ("shaft.front_tube", "shaft.rear_tube") if isinstance(build.shaft, TwoPieceShaft) else ("shaft.tube",)


def _present(build: Build) -> _Tube | None:
    """The tube that is entered, where it is the same all along."""
    tubes = {value_at(build, entry) for entry in _entries(build)}
    tube = tubes.pop() if len(tubes) == 1 else None
    if tube is None or tube.outer_diameter_mm is None or tube.wall_mm is None:
        return None
    return _Tube(tube.material, tube.outer_diameter_mm, tube.wall_mm, tube.yield_mpa, PRESENT)


def _alike(one: _Tube, other: _Tube) -> bool:
    """Whether a caliper tells no difference between two tubes."""
    sizes = zip(one[1:3], other[1:3], strict=True)
    return one.material == other.material and all(abs(here - there) < ALIKE_MM for here, there in sizes)


def _options(build: Build, made: Build) -> Iterator[TubeOption]:
    """Every tube in a build's shaft as `made`: the build itself, or in the other number of pieces."""
    same = made is build or build.shaft is None
    present = _present(build) if same else None
    tubes = [tube for tube in _had(build) if present is None or not _alike(tube, present)]
    for material in ("steel", "aluminium"):
        some = [tube for tube in (*([present] if present else ()), *tubes) if tube.material == material]
        if some:
            yield from _judged(build, made, some, same=same)


def _judged(build: Build, made: Build, tubes: Sequence[_Tube], *, same: bool) -> Iterator[TubeOption]:
    """Tubes of one material as rows of one judgement."""
    entries = _entries(made)
    of_material = edited(made, {f"{entry}.material": tubes[0].material for entry in entries})
    columns: dict[str, list[float]] = {}
    for entry in entries:
        columns[f"{entry}.outer_diameter_mm"] = [tube.outer_mm for tube in tubes]
        columns[f"{entry}.wall_mm"] = [tube.wall_mm for tube in tubes]
        columns[f"{entry}.yield_mpa"] = [np.nan if tube.yield_mpa is None else tube.yield_mpa for tube in tubes]
    v = variants(of_material, columns)
    found = judge(v, positions=POSITIONS)
    with np.errstate(all="ignore"):
        told = _Told(v, found)
    for row, tube in enumerate(tubes):
        yield told.option(row, tube, build, made, same=same)


class _Told:
    """Rows of tubes with their facts and findings."""

    def __init__(self, v: Variants, found: Found) -> None:
        facts = Facts(v)
        self.rows, self.found, self.pieces = v.rows, found, facts.kinds.pieces
        self.holds, self.cautions = holds_and_cautions(found)
        self.mass = sum((tube.mass_kg for tube in facts.tubes), np.zeros(v.rows))
        self.angle = np.minimum.reduce([np.broadcast_to(angle, v.rows) for angle in facts.angles_deg])
        outer = np.max([v[f"{entry}.outer_diameter_mm"] for _, entry in facts.kinds.tubes], axis=0)
        swings = [facts.in_the_way.swing_mm(joint) for joint in range(facts.kinds.pieces + 1)]
        self.swing = np.maximum.reduce(
            [np.broadcast_to(outer, v.rows), *(np.broadcast_to(one, v.rows) for one in swings)]
        )
        self.gaps = [key for key in found if finding_id(key) == "gap"]

    def _number(self, values: Floats, row: int) -> float | None:
        one = float(np.broadcast_to(values, self.rows)[row])
        return one if np.isfinite(one) else None

    def _verdict(self, key: tuple[str, str], row: int) -> Verdict | None:
        word = WORDS[int(self.found[key].verdict[row])]
        return cast("Verdict", word) if word else None

    def option(self, row: int, tube: _Tube, build: Build, made: Build, *, same: bool) -> TubeOption:
        """One row in plain numbers."""
        speed, shear = ("critical_speed", "shaft"), ("tube_shear", "shaft")
        judged = self.found[speed]
        critical = self._number(judged.clear / LIMITS["critical_speed"].clear, row)
        highest = self._number(judged.value, row)
        gap = min(
            self.gaps,
            key=lambda key: (-int(self.found[key].verdict[row]), _last(self.found[key].value[row])),
            default=None,
        )
        worst = max(int(one.verdict[row]) for one in self.found.values())
        bearing = None if self.pieces == 1 else value_at(made, "shaft.bearing_mm")
        option = TubeOption(
            pieces=cast("Any", self.pieces),
            material=cast("Any", tube.material),
            outer_mm=tube.outer_mm,
            wall_mm=tube.wall_mm,
            source=tube.source,
            present=tube.source == PRESENT,
            verdict=cast("Verdict", WORDS[worst]),
            holds=int(self.holds[row]),
            cautions=int(self.cautions[row]),
            highest_rpm=highest,
            critical_rpm=critical,
            share=None if highest is None or critical is None else highest / critical,
            critical_verdict=self._verdict(speed, row),
            shear_mpa=self._number(self.found[shear].value, row),
            shear_verdict=self._verdict(shear, row),
            mass_kg=self._number(self.mass, row),
            gap_mm=None if gap is None else self._number(self.found[gap].value, row),
            gap_verdict=None if gap is None else self._verdict(gap, row),
            swing_mm=self._number(self.swing, row),
            least_angle_deg=self._number(self.angle, row),
            bearing_mm=bearing,
            changes=_changes(build, made, tube, same=same),
            name=tube_name(tube.material, tube.outer_mm, tube.wall_mm, build.display),
            says="",
        )
        return replace(option, says=_says(option, build))


def tube_name(material: str, outer_mm: float, wall_mm: float, display: Display) -> str:
    """A tube by its sizes and its material.

    >>> [tube_name("steel", 88.9, 2.1082, Display(length=length)) for length in ("inch", "millimetre")]
    ['3.50 × 0.083 in steel', '88.9 × 2.1 mm steel']
    """
    if display.length == "inch":
        return f"{number(outer_mm / MM_PER_INCH, 2)} × {number(wall_mm / MM_PER_INCH, 3)} in {material}"
    return f"{number(outer_mm, 1)} × {number(wall_mm, 1)} mm {material}"


def _says(option: TubeOption, build: Build) -> str:
    """What a tube comes to."""
    display, row = build.display, LIMITS["critical_speed"]
    pieces = "in one piece" if option.pieces == 1 else "in two pieces"
    said = [f"{option.name} {pieces}, {option.source}."]
    if option.critical_rpm is not None:
        whirls = f"Its critical speed is {worded(option.critical_rpm, 'rpm', display)}"
        used = "" if option.share is None else f", of which the highest speed uses {number(option.share, 2)}"
        said.append(f"{whirls}{used}; at most {row.clear} is wanted.")
    if option.bearing_mm is not None:
        output = value_at(build, "powertrain.output_joint_mm")
        behind = "" if output is None else _from_output(option.bearing_mm, output, display)
        said.append(
            f"Its support bearing sits {behind}{worded(option.bearing_mm[2], 'mm', display)} up from the floor."
        )
    held = [f"{count} {word}" for count, word in ((option.holds, "hold"), (option.cautions, "warn")) if count]
    said.append(f"Of all findings {' and '.join(held)}." if held else "No finding holds or warns.")
    return " ".join(said)


def bearing_words(build: Build) -> str:
    """Where the support bearing of a two-piece shaft sits, to go on with; nothing where that is not known.

    >>> bearing_words(Build())
    ''
    """
    bearing, output = value_at(build, "shaft.bearing_mm"), value_at(build, "powertrain.output_joint_mm")
    if bearing is None:
        return ""
    behind = "" if output is None else _from_output(bearing, output, build.display)
    return f", its support bearing {behind}{worded(bearing[2], 'mm', build.display)} up from the floor"


def _from_output(bearing: Triple, output: Triple, display: Display) -> str:
    """How far a bearing lies from the output's joint, along the floor."""
    way = "behind" if bearing[0] >= output[0] else "ahead of"
    return f"{worded(abs(bearing[0] - output[0]), 'mm', display)} {way} the output's joint, "


def _last(value: float) -> float:
    return _LAST if np.isnan(value) else value


def _changes(build: Build, made: Build, tube: _Tube, *, same: bool) -> dict[str, Any]:
    """Edits that make the shaft of a tube."""
    parts = {
        "outer_diameter_mm": tube.outer_mm, "wall_mm": tube.wall_mm, "material": tube.material,
        "yield_mpa": tube.yield_mpa,
    }  # fmt: skip
    changes = {f"{entry}.{name}": value for entry in _entries(made) for name, value in parts.items()}
    if same and build.shaft is not None:
        return changes
    return {"shaft": edited(made, changes).shaft}


# ---------------------------------------------------------------------- the other number of pieces


def other_pieces(build: Build) -> Build | None:
    """The build with its shaft in two pieces where it has one, in one where it has two; None where that cannot be told."""
    shaft = build.shaft
    if isinstance(shaft, TwoPieceShaft):
        kept = {name: value for name, value in shaft.model_dump().items() if name in OnePieceShaft.model_fields}
        return edited(build, {"shaft": {**kept, "kind": "one_piece", "tube": shaft.rear_tube, "phase_deg": 0.0}})
    if shaft is None:
        return None
    kept = {name: value for name, value in shaft.model_dump().items() if name in TwoPieceShaft.model_fields}
    two = edited(build, {"shaft": {**kept, "kind": "two_piece", "centre_joint": _centre_joint(shaft),
                                   "front_tube": shaft.tube, "rear_tube": shaft.tube}})  # fmt: skip
    return _with_bearing(build, two)


def _centre_joint(shaft: OnePieceShaft) -> dict[str, Any]:
    """A single cross of the series that the shaft has, with what is entered of it."""
    joint = shaft.rear_joint or shaft.front_joint
    return {} if joint is None else {**joint.model_dump(), "type": "cardan"}


def _with_bearing(build: Build, two: Build) -> Build | None:
    """A two-piece build with its support bearing where the whole is judged best at ride height; None with no joints."""
    with np.errstate(all="ignore"):
        facts = Facts(variants(build))
        front, rear = (np.array([float(np.ravel(part)[0]) for part in joint]) for joint in facts.pose.joints)
        ahead = facts.kinds.ahead
        lines = facts.pose.along_drive(ahead=ahead)
        out = np.array([float(np.ravel(part)[0]) for part in lines[0]])
    start, end = (rear, front) if ahead else (front, rear)
    if not np.isfinite([*start, *end, *out]).all():
        return None
    length = float(np.linalg.norm(end - start))
    rows = [
        (start + share * length * _bent(out, bend), first, last)
        for share in _SHARES for bend in _BENDS_DEG for first in _PHASES_DEG for last in _PHASES_DEG
    ]  # fmt: skip
    columns = {f"shaft.bearing_mm.{axis}": [float(place[axis]) for place, _, _ in rows] for axis in range(3)}
    columns["shaft.front_phase_deg"] = [first for _, first, _ in rows]
    columns["shaft.rear_phase_deg"] = [last for _, _, last in rows]
    found = judge(variants(edited(two, {"shaft.bearing_mm": (0.0, 0.0, 0.0)}), columns))
    holds, cautions = holds_and_cautions(found)
    critical = found["critical_speed", "shaft"].clear
    residual = next(one.value for (name, _), one in found.items() if name == "pinion_residual")
    best = int(np.lexsort((np.nan_to_num(residual, nan=0.0), -np.nan_to_num(critical, nan=0.0), cautions, holds))[0])
    place, first, last = rows[best]
    return edited(two, {"shaft.bearing_mm": tuple(np.round(place, 1).tolist()),
                        "shaft.front_phase_deg": first, "shaft.rear_phase_deg": last})  # fmt: skip


def _bent(line: np.ndarray[Any, Any], bend_deg: float) -> np.ndarray[Any, Any]:
    """A direction turned in side view."""
    cosine, sine = np.cos(bend_deg * RADIAN), np.sin(bend_deg * RADIAN)
    x, y, z = line
    return np.array([cosine * x + sine * z, y, cosine * z - sine * x])
