"""What is known of a section of the shaft that is ordered, in the person's units; what is not known is no words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from app.amounts import amount
from app.units import show, show_tape, shown_unit
from geometry.document import Build, is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.judge.states import LEAST, MOST, SETTLED

if TYPE_CHECKING:
    from app.drawing.subject import JointType
    from app.papers.shaft_drawing import MateType
    from geometry.words.solution import OrderedEnd, ShaftSection, Solution


class End(NamedTuple):
    """One end of a section: what it is called, the joint there, and the document's sections of both its halves."""

    title: str
    joint: str
    shaft: str
    mate: str
    adapter: str
    ordered: OrderedEnd | None

    @property
    def between(self) -> bool:
        """Whether it is the joint between two sections, which goes to no gearbox and no axle."""
        return not self.mate


class Ordered:
    """One section of the shaft of a build, as it is ordered."""

    def __init__(self, build: Build, solution: Solution, number: int) -> None:
        self.build, self.solution, self.number = build, solution, number
        self.section: ShaftSection = solution.shaft.sections[number]
        self.display, self.order = build.display, solution.order
        self.two = isinstance(build.shaft, TwoPieceShaft)
        self.slips = self.order.section == self.section.name
        self.ahead = is_front_axle(build)
        self.ends = self._both_ends()
        self.tube = f"shaft.{self.section.name}_tube" if self.two else "shaft.tube"

    def _both_ends(self) -> tuple[End, End]:
        """Front and rear end of the section."""
        gearbox, axle = self.order.ends
        outer: dict[str, End] = {
            one.joint: End(
                title, f"shaft.{one.joint}_joint", f"shaft.{one.joint}_end", mate, f"plan.{adapter}_adapter_mm", one
            )
            for one, title, mate, adapter in (
                (gearbox, "Gearbox end", "powertrain.output_end", "output"),
                (axle, "Axle end", "axle.pinion_end", "pinion"),
            )
        }  # fmt: skip
        front, rear = outer["front"], outer["rear"]
        if not self.two:
            return front, rear
        between = End("Bearing end", "shaft.centre_joint", "shaft.centre_end", "", "", self.order.centre)
        return (front, between) if self.section.name == "front" else (between, rear)

    @property
    def length_mm(self) -> float | None:
        """Length to order at ride height: of the section that slips in the state that it is driven in."""
        return self.order.length_mm if self.slips else self.section.length_mm

    def state_ticks(self) -> tuple[tuple[str, bool], ...]:
        """In which state the length is: ticked as far as the build tells."""
        state, named = self.build.state, self.order.state or ""
        settled = SETTLED in named or (state is not None and state.springs == "settled")
        loaded = LEAST in named or MOST in named
        tyres = state is not None and state.on == "tyres"
        return ("on its tyres", tyres), ("springs settled", settled), ("loaded as used", loaded)

    def value(self, path: str) -> Any:
        """The entry at a dotted path; None for no path."""
        return value_at(self.build, path) if path else None

    def mm(self, path: str, places: int | None = None) -> str:
        """A length of the build in the person's unit; nothing where it is not entered."""
        found = self.value(path)
        return "" if found is None else show(float(found), "mm", self.display, places=places)

    @property
    def unit(self) -> str:
        """Sign of the unit of lengths."""
        return shown_unit("mm", self.display).symbol

    def length(self, value: float | None) -> str:
        """A length in the person's unit; nothing where it is not known."""
        return "" if value is None else show(value, "mm", self.display)

    def tape(self, value_mm: float) -> str:
        """A length as an inch's fraction where it is just one, as the tape has it."""
        fraction = show_tape(value_mm, self.display)
        return fraction if "/" in fraction and not fraction.startswith("≈") else amount(value_mm, "mm", self.display)

    def caliper(self, value_mm: float) -> str:
        """A size as a caliper reads it: to a thousandth of an inch, or a hundredth of a millimetre."""
        return show(value_mm, "mm", self.display, places=3 if self.display.length == "inch" else 2)

    def bore(self) -> str:
        """Bore of the support bearing, as a caliper reads it."""
        found = self.value("shaft.bearing_bore_mm")
        return "" if found is None else self.caliper(float(found))

    def slip_at(self) -> int | None:
        """The end that the slip sits at in the drawing: as entered, else away from the axle; none in the gearbox."""
        sits = self.value("shaft.slip.sits")
        if sits == "gearbox":
            return None
        at_axle = 0 if self.ahead else 1
        return at_axle if sits == "pinion_end" else 1 - at_axle

    def bearing_at(self) -> int | None:
        """The bearing sits on the section beside the gearbox, at its far end."""
        if not self.two or self.slips:
            return None
        return 0 if self.ahead else 1

    def joint_type(self, end: End) -> JointType:
        """Kind of the joint at an end."""
        found: JointType = value_at(self.build, f"{end.joint}.type") or "cardan"
        return found

    def mate(self, end: End) -> MateType | None:
        """What an end goes to: as entered, or what the shaft's own half can only go to."""
        if end.between:
            return "joint"
        found: MateType | None = value_at(self.build, f"{end.mate}.type")
        on_shaft = self.value(f"{end.shaft}.type")
        if found is None and on_shaft in ("flange", "spline"):
            return "flange" if on_shaft == "flange" else "spline"
        return found

    def engaged_mm(self) -> float | None:
        """How much spline is inside at the ride height that the shaft is ordered for."""
        found = self.value("shaft.slip.engaged_mm")
        extended, length = self.order.extended_mm, self.order.length_mm
        if extended is not None and length is not None:
            return extended - length
        return None if found is None else float(found)

    def tube_words(self) -> str:
        """Diameter, wall and material; nothing where a size is not known."""
        outer, wall = self.mm(f"{self.tube}.outer_diameter_mm"), self.mm(f"{self.tube}.wall_mm", self.fine)
        if not outer or not wall:
            return ""
        return f"{outer.removesuffix(self.unit).strip()} × {wall} {self.value(f'{self.tube}.material')}"

    @property
    def fine(self) -> int | None:
        """Decimals of what is measured to a thousandth of an inch."""
        return 3 if self.display.length == "inch" else None
