"""The whole answer as plain text for a terminal: the findings' own sentences, and the numbers in the person's units."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import Final

from app.amounts import amount, as_read, hold_words, limit_words, telling_places
from app.bench import BUY, TAPED, checks_by_tape, to_buy
from app.cautions import CAUTIONS
from app.complaints import one_line, title_of
from app.setpoints import by_stick, set_points, states_words, variant_words
from app.units import Kind, both, show, show_tape
from geometry.document import Build, is_front_axle, value_at
from geometry.document.sides import end_of
from geometry.document.vehicle import Display
from geometry.judge.limits import SPEED_FOR_ANGLE
from geometry.words.both import Whole, says_beside
from geometry.words.names import whole_name
from geometry.words.solution import Finding, Remedy, Solution, Verdict
from geometry.words.wording import capital

WIDTH: Final = 98
_UNKNOWN: Final = "unknown"
_LABEL: Final = 34
_COLOURS: Final[dict[Verdict, str]] = {"clear": "32", "caution": "33", "hold": "31", "unknown": "36"}
_JOINT_TYPES: Final = {"cardan": "single", "double_cardan": "double", "constant_velocity": "constant velocity"}

_CRUISE: Final = ("axle.ratio", "vehicle.cruise_speed_kmh")
_TORQUE: Final = ("powertrain.peak_torque_nm", "powertrain.gear_ratios")
_SPRING: Final = ("suspension.rate_n_per_mm", "suspension.front_half_mm", "suspension.rear_half_mm")
_AXLE_LOAD: Final = ("vehicle.rear_axle_load_kg", "vehicle.tyre_grip", "axle.ratio")
_SEAT: Final = "readings.seat_slope_deg"
_SLIP: Final = ("shaft.slip.engaged_mm", "shaft.slip.stroke_mm")
_POINTS: Final = ("powertrain.output_joint_mm", "axle.centre_mm", "axle.pinion_length_mm")


def report_text(build: Build, solution: Solution, source_name: str, colour: bool = False) -> str:  # noqa: FBT001, FBT002
    """Return the report, with a closing line break, no line wider than 100 columns.

    Numbers are in the build's display units, with the other unit behind where a length or a torque is ordered or set.
    A value that is not known says which entries it wants. `colour` adds terminal colours to the verdict words.
    """
    page = _Page(build, solution, colour)
    parts = (page.head(source_name), *page.body(), _cautions())
    return _joined(parts)


def whole_report(whole: Whole, source_name: str, colour: bool = False) -> str:  # noqa: FBT001, FBT002
    """Return the report of a whole vehicle: of two drivelines one verdict that names the worse, then that one first."""
    pages = [_Page(one.build, one.solution, colour, one.name) for one in whole.worst_first]
    if len(pages) == 1:
        return report_text(pages[0].build, pages[0].solution, source_name, colour)
    parts = [pages[0].head(source_name, whole.verdict, whole.says)]
    others = [one.solution.verdict for one in whole.worst_first][::-1]
    for page, other in zip(pages, others, strict=True):
        parts += [page.named(other), *page.body()]
    return _joined((*parts, _cautions()))


def _joined(parts: Iterable[list[str]]) -> str:
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


class _Page:
    """The parts of one report."""

    def __init__(self, build: Build, solution: Solution, colour: bool, name: str = "") -> None:  # noqa: FBT001
        self.build = build
        self.name = name
        self.solution = solution
        self.colour = colour
        self.display: Display = build.display.model_copy(update={"inches": None})  # the tape's words stand beside
        # Which entries a value hangs on: with the ends' places measured, the shaft's line comes from them.
        placed = value_at(build, "axle.centre_mm") is not None
        self.output = ("powertrain.slope_deg",)
        self.pinion = ("axle.pinion_slope_deg",)
        self.stick = _POINTS if placed else by_stick(build, "readings.shaft_slope_deg")
        self.ends = _POINTS if placed else by_stick(build, "readings.shaft_length_mm")
        self.lines = (*self.output, *self.stick, *self.pinion)

    def body(self) -> tuple[list[str], ...]:
        """All parts but head and cautions."""
        return (
            self.angles(),
            self.joints(),
            self.shaft(),
            self.motion(),
            self.travel(),
            self.windup(),
            self.order(),
            self.setpoints(),
            self.bench(),
            self.findings(),
            self.again(),
        )

    def named(self, other: Verdict) -> list[str]:
        """The driveline that follows, with its own verdict, beside the other's."""
        says = says_beside(end_of(self.build), self.solution, other)
        return [f"{self.name.upper()} ".ljust(WIDTH, "="), *self._verdict(self.solution.verdict, says)]

    def _verdict(self, verdict: Verdict, says: str) -> list[str]:
        first, *more = _wrapped(f"{verdict.upper()}: {says}")
        return [first.replace(verdict.upper(), self._word(verdict), 1), *more]

    def head(self, source_name: str, verdict: Verdict | None = None, says: str = "") -> list[str]:
        title, source_name = self.build.title.strip() or "Untitled build", one_line(source_name)
        lines = [*_wrapped(f"{title} ({source_name})"), "=" * min(WIDTH, len(title) + len(source_name) + 3)]
        lines += self._verdict(verdict or self.solution.verdict, says or self.solution.says)
        for note in self.build.notes.splitlines():
            lines += _wrapped(note, "  | ")  # marked, so that no note passes for a finding
        return lines

    def again(self) -> list[str]:
        """What the last set read again comes to; the command `again` tells all of it."""
        if not self.build.measured_again:
            return []
        from app.again import heading, sets_of  # of few builds

        last = sets_of(self.build, self.solution)[-1]
        word = last.verdict.upper()
        says = f"{heading(last, self.build.display)}: {last.says}"
        first, *more = _wrapped(says, f"  {word.ljust(9)}", " " * 11)
        return ["Measured again", first.replace(word, self._word(last.verdict), 1), *more]

    def angles(self) -> list[str]:
        angles = self.solution.angles
        lines: list[tuple[str, float | None, float | None, float | None, tuple[str, ...]]] = [
            ("Frame rail", angles.frame_slope_deg, None, None, ("vehicle.frame_slope_deg",)),
            ("Output", angles.output_slope_deg, angles.output_uncertainty_deg, angles.output_plan_deg, self.output),
            ("Shaft", angles.shaft_slope_deg, angles.shaft_uncertainty_deg, angles.shaft_plan_deg, self.stick),
            ("Pinion", angles.pinion_slope_deg, angles.pinion_uncertainty_deg, angles.pinion_plan_deg, self.pinion),
        ]
        if angles.front_shaft_slope_deg is not None:
            lines.insert(2, ("Front shaft section", angles.front_shaft_slope_deg, None, None, ()))
        rows = []
        for label, slope, uncertainty, plan, wants in lines:
            side = f", {self._text(plan, 'deg', ())} to the right in plan" if plan else ""
            rows.append((label, f"{self._text(slope, 'deg', wants, uncertainty=uncertainty)}{side}"))
        return _table("Angles after the plan, on the tyres (positive: the end toward the rear is lower)", rows)

    def joints(self) -> list[str]:
        rows = []
        for joint in self.solution.joints:
            words = self._text(joint.operating_deg, "deg", self.lines, uncertainty=joint.uncertainty_deg)
            if joint.side_deg is not None and joint.plan_deg is not None:
                words += f" (from the side {show(abs(joint.side_deg), 'deg', self.display)}"
                words += f", from above {show(abs(joint.plan_deg), 'deg', self.display)})"
            rows.append((f"{capital(joint.name)} joint, {_JOINT_TYPES[joint.type]}", words))
            extras = _joint_extras(joint.allowed_rpm, joint.life_hours, joint.secondary_couple_nm)
            words = "; ".join(f"{label} {self._extra(value, kind)}" for label, value, kind in extras)
            rows += [("", words)] if words else []
        return _table("Joints, front to rear", rows or [("Operating angles", self._unknown(self.lines))])

    def _extra(self, value: float, kind: Kind) -> str:
        """A number beside a joint; its speed in tens, as its angle tells no more, and up to the table's last."""
        if kind != "rpm":
            return show(value, kind, self.display)
        most = SPEED_FOR_ANGLE[-1][0]
        fast = show(min(round(value, -1), most), kind, self.display)
        return f"{fast} and more" if value >= most else fast

    def shaft(self) -> list[str]:
        shaft, radius, tube = self.solution.shaft, self._driven_radius(), self._tube_entries()
        rows = [
            ("Length, joint to joint", self._both(shaft.length_mm, "mm", self.ends)),
            ("Speed at cruise", self._text(shaft.cruise_rpm, "rpm", (radius, *_CRUISE))),
            ("Highest speed", self._text(shaft.max_rpm, "rpm", ("powertrain.redline_rpm", _TORQUE[1]))),
            ("Critical speed", self._text(shaft.critical_rpm, "rpm", (*tube, *self.ends))),
            ("Launch torque", self._both(shaft.torque_nm, "N·m", _TORQUE)),
            ("  in a rough start", self._both(shaft.shock_torque_nm, "N·m", _TORQUE)),
            ("  in the lowest gear", self._both(shaft.low_gear_torque_nm, "N·m", _TORQUE)),
            ("  when the wheels slip", self._both(shaft.wheel_slip_torque_nm, "N·m", (*_AXLE_LOAD, radius))),
            ("Shear in the tube", self._both(shaft.shear_mpa, "MPa", (*tube, *_TORQUE))),
            ("Mass of tube", self._both(shaft.mass_kg, "kg", (*tube, *self.ends))),
        ]
        for section in shaft.sections if len(shaft.sections) > 1 else ():
            words = f"{self._text(section.slope_deg, 'deg', ())}, {self._both(section.length_mm, 'mm', ())}"
            words += f", critical {self._text(section.critical_rpm, 'rpm', ())}"
            rows.append((f"  {section.name} section", words))
        return _table("Shaft", rows)

    def motion(self) -> list[str]:
        motion = self.solution.motion
        wants = (*self.lines, self._driven_radius(), *_CRUISE)
        rows = [
            ("Uneven running at the pinion", self._text(motion.pinion_residual_rad_s2, "rad/s²", wants)),
            ("Shaft inertia, driving", self._text(motion.drive_inertia_rad_s2, "rad/s²", wants)),
            ("Shaft inertia, coasting", self._text(motion.coast_inertia_rad_s2, "rad/s²", wants)),
            ("Equivalent angle", self._text(motion.equivalent_angle_deg, "deg", self.lines)),
        ]
        return _table("Motion at cruising speed", rows)

    def travel(self) -> list[str]:
        travel = self.solution.travel
        if travel is None or not travel.axle_mm:
            return _table(
                "Over the travel", [("From droop to bump", self._unknown((*self._spring_entries(), *_POINTS)))]
            )
        droop, bump = (show_tape(value, self.display) for value in (-travel.axle_mm[0], travel.axle_mm[-1]))
        rows = [
            (f"{capital(joint.name)} joint", self._span(angles, "deg"))
            for joint, angles in zip(self.solution.joints, travel.operating_deg or (), strict=False)
        ]
        rows += [
            ("Pinion slope", self._span(travel.pinion_slope_deg, "deg")),
            ("Uneven running at the pinion", self._span(travel.pinion_residual_rad_s2, "rad/s²")),
            ("Length, joint to joint", self._span(travel.length_mm, "mm")),
            ("Slip left", self._span(travel.slip_left_mm, "mm", _SLIP)),
            ("Spline engaged", self._span(travel.engaged_mm, "mm", _SLIP)),
            ("Gap to the nearest obstacle", self._span(travel.gap_mm, "mm", ("obstacles",))),
        ]
        return _table(f"Over the travel, from {droop} of droop to {bump} of bump", rows)

    def windup(self) -> list[str]:
        windup = self.solution.windup
        if windup is None:
            return []
        wants = (*_SPRING, "axle.ratio", *_TORQUE)
        # Torque lifts the front of the housing, which on a front axle is not where the pinion is.
        nose = "Nose dips" if is_front_axle(self.build) else "Nose rises"
        rows = [
            ("Stiffness, both springs", self._both(windup.stiffness_nm_per_deg, "N·m/deg", _SPRING)),
            (f"{nose} at cruise", self._text(windup.cruise_deg, "deg", wants)),
            (f"{nose} at launch", self._text(windup.launch_deg, "deg", wants)),
        ]
        return _table("Wind-up of the axle under torque", rows)

    def order(self) -> list[str]:
        """What the shaft is ordered by, of the variant that is set; nothing where its length is not known."""
        order = self.solution.order
        if order.length_mm is None:
            return []
        state = "" if order.state is None else f", {order.state}"
        rows = [("At ride height", self._both(order.length_mm, "mm", ()) + state)]
        for label, least, most in (
            ("Over the travel", order.least_mm, order.most_mm),
            ("Collapsed and extended", order.collapsed_mm, order.extended_mm),
        ):
            if least is not None and most is not None:
                ends = [show(value, "mm", self.display) for value in (least, most)]
                rows.append((label, " to ".join(ends)))
        variant = variant_words(self.build, self.solution)
        title, *lines = _table("Shaft to order, joint centre to joint centre", rows)
        return [
            title,
            *(_wrapped(variant, "  ") if variant else []),
            *lines,
            *(line for one in order.says for line in _wrapped(one, "  ")),
        ]

    def setpoints(self) -> list[str]:
        rows = []
        for point in set_points(self.build, self.solution):
            words = f"{point.value} {point.note}".rstrip() if point.value else f"{_UNKNOWN}; {point.wants}"
            rows.append((point.label, f"{words}, now {point.now}" if point.now else words))
        variant = variant_words(self.build, self.solution)
        title, *lines = _table("Set before tacking, at ride height, level on the tyres", rows)
        states = [line for words in states_words(self.build, self.solution) for line in _wrapped(words, "  ", "    ")]
        allowed = None if self.solution.brackets is None else self.solution.brackets.allowed
        ends = [line for words in (allowed.says if allowed else ()) for line in _wrapped(words, "  ", "    ")]
        return [title, *(_wrapped(variant, "  ") if variant else []), *states, *lines, *ends]

    def bench(self) -> list[str]:
        """Checks by tape, and what to buy."""
        checks, buying = checks_by_tape(self.build, self.solution), to_buy(self.build, self.solution)
        return [
            *(_table(TAPED, checks) if checks else []),
            *(_table(BUY, buying) if buying else []),
        ]

    def findings(self) -> list[str]:
        lines = ["Findings, worst first"]
        titles = [finding.title for finding in self.solution.findings]
        for finding in self.solution.findings:
            lines += self._finding(finding, several=titles.count(finding.title) > 1)
        return lines if titles else [*lines, "  none: nothing has been measured yet"]

    def _finding(self, finding: Finding, *, several: bool) -> list[str]:
        title = f"{finding.title} ({finding.part.replace('_', ' ')})" if several else finding.title
        word = finding.verdict.upper()
        first, *lines = _wrapped(f"{title}{self._amount(finding)}", f"  {word.ljust(9)}", " " * 11)
        lines = [first.replace(word, self._word(finding.verdict), 1), *lines]
        lines += _wrapped(finding.says, " " * 11)
        ways: Iterable[tuple[str, Remedy]] = [("or", remedy) for remedy in finding.alternatives]
        if finding.remedy is not None:
            ways = [("Remedy", finding.remedy), *ways]
        for label, remedy in ways:
            whole = f"{capital(whole_name(self.build))} then: {remedy.verdict}."
            lines += _wrapped(f"{label}: {remedy.says} {whole}", " " * 11)
        return lines + _wrapped(f"Basis: {finding.basis}", " " * 11) if finding.basis else lines

    def _amount(self, finding: Finding) -> str:
        """Value and limits of what holds or warns; a clear finding's sentence has them."""
        if finding.value is None or not finding.bad:
            return ""
        finding = as_read(finding, self.build)
        value = amount(finding.value or 0.0, finding.unit, self.display, telling_places(finding, self.display))
        limits = (limit_words(finding, self.display), hold_words(finding, self.display))
        return f": {', '.join(one for one in (value, *limits) if one)}"

    def _word(self, verdict: Verdict) -> str:
        word = verdict.upper()
        return f"\x1b[1;{_COLOURS[verdict]}m{word}\x1b[0m" if self.colour else word

    def _text(
        self,
        value: float | None,
        kind: Kind,
        wants: Sequence[str],
        *,
        uncertainty: float | None = None,
        signed: bool = False,
    ) -> str:
        if value is None:
            return self._unknown(wants)
        return show(value, kind, self.display, uncertainty=uncertainty, signed=signed)

    def _both(self, value: float | None, kind: Kind, wants: Sequence[str]) -> str:
        return self._unknown(wants) if value is None else both(value, kind, self.display)

    def _unknown(self, wants: Sequence[str]) -> str:
        """Say which of the entries that the value hangs on are still to be measured."""
        absent = [title_of(entry) for entry in dict.fromkeys(wants) if value_at(self.build, entry) in {None, ()}]
        return f"{_UNKNOWN}; measure or enter: {'; '.join(absent)}" if absent else _UNKNOWN

    def _span(self, values: Sequence[float | None] | None, kind: Kind, wants: Sequence[str] = ()) -> str:
        known = [value for value in values or () if value is not None]
        if not known:
            return self._unknown(wants)
        least, most = (show(value, kind, self.display) for value in (min(known), max(known)))
        return f"{least} to {most}"

    def _driven_radius(self) -> str:
        end = value_at(self.build, "axle.end") or "rear"
        return f"vehicle.{end}_tyre_radius_mm"

    def _spring_entries(self) -> tuple[str, ...]:
        """Entries of the suspension that are still empty, or the suspension as a whole."""
        suspension = self.build.suspension
        if suspension is None:
            return ("suspension",)
        return tuple(f"suspension.{name}" for name in type(suspension).model_fields if name != "rate_n_per_mm")

    def _tube_entries(self) -> tuple[str, ...]:
        tubes = ("front_tube", "rear_tube") if value_at(self.build, "shaft.kind") == "two_piece" else ("tube",)
        return tuple(f"shaft.{tube}.{entry}" for tube in tubes for entry in ("outer_diameter_mm", "wall_mm"))


def _joint_extras(
    allowed_rpm: float | None, life_hours: float | None, couple_nm: float | None
) -> list[tuple[str, float, Kind]]:
    rows: list[tuple[str, float | None, Kind]] = [
        ("good for", allowed_rpm, "rpm"),
        ("life", life_hours, "h"),
        ("bending couple on its yoke", couple_nm, "N·m"),
    ]
    return [(label, value, kind) for label, value, kind in rows if value is not None]


def _cautions() -> list[str]:
    lines = ["Cautions"]
    for caution in CAUTIONS:
        lines += _wrapped(caution, "  - ", "    ")
    return lines


def _table(title: str, rows: Sequence[tuple[str, str]]) -> list[str]:
    """Lay out a part: its title, then label and value; what a row wants is not said twice in a row."""
    lines, before = [title], ""
    for label, text in rows:
        again = text == before and text.startswith(f"{_UNKNOWN};")
        lines += _wrapped(f"{_UNKNOWN}, as above" if again else text, f"  {label}".ljust(_LABEL), " " * _LABEL)
        before = text
    return lines


def _wrapped(text: str, first: str = "", later: str | None = None) -> list[str]:
    """Lines of a text; here, where all of them pass, whatever could break a line or steer the terminal is spelt out."""
    text = one_line(text)
    if len(first) + len(text) <= WIDTH:  # as most do; to have it wrapped takes thirty times as long
        return [(first + text).rstrip()]
    following = first if later is None else later
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=following)
