"""The build document: one frozen object that holds everything measured and planned.

Everything is in SI-mm, on disk as in memory. Unknown keys, NaN, infinities and impossible values are refused; what was
not measured is None.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, ValidationError, model_validator

from geometry.document.again import ReadAgain
from geometry.document.brackets import FlexibleLine, LateralLink, Obstacle, Plan, Shock, StockedShock, TorqueBar
from geometry.document.driveline import Driveline, OwnPlan
from geometry.document.perches import AxleSquare, Clamp, Perches
from geometry.document.quantity import Section
from geometry.document.running_gear import Axle, Joint, Shaft, Suspension, Tube, TwoPieceShaft
from geometry.document.shaft_ends import Wishes
from geometry.document.state import State, Use
from geometry.document.text import cleaned_line, cleaned_page
from geometry.document.variant import Variant, VariantRefused, differences, plain
from geometry.document.vehicle import Display, Gauge, Powertrain, Readings, Vehicle

FORMAT = 1
MOST_KEPT = 12
"""Plans that are kept beside a build at most."""
_FIRST_KIND = {"suspension": "leaf", "shaft": "one_piece"}


class Build(Section):
    """One vehicle's driveline, measured and planned; or both of them, the second in `drivelines`.

    Source: the sections and names are this project's own public format, number 1.
    """

    format: Literal[1] = Field(default=1, title="Format", description="Number of this format of file.")
    title: Annotated[str, Field(max_length=200), BeforeValidator(cleaned_line)] = Field(
        default="", title="Title", description="What the vehicle and the job are called; heads the build sheet."
    )
    notes: Annotated[str, Field(max_length=20_000), BeforeValidator(cleaned_page)] = Field(
        default="", title="Notes", description="Whatever is worth keeping with the measurements."
    )
    display: Display = Field(default=Display(), title="Units")
    gauge: Gauge | None = Field(default=None, title="Gauge and tape")
    readings: Readings | None = Field(default=None, title="Stick and tape readings")
    state: State | None = Field(default=None, title="State when measured")
    use: Use | None = Field(default=None, title="How it is used")
    vehicle: Vehicle | None = Field(default=None, title="Vehicle")
    powertrain: Powertrain | None = Field(default=None, title="Engine and gearbox")
    axle: Axle | None = Field(default=None, title="Axle and pinion")
    suspension: Suspension | None = Field(default=None, title="Springs or links")
    perches: Perches | None = Field(default=None, title="Perches")
    clamp: Clamp | None = Field(default=None, title="Clamp of the springs")
    square: AxleSquare | None = Field(default=None, title="Axle square")
    shaft: Shaft | None = Field(default=None, title="Shaft and joints")
    shocks: Annotated[tuple[Shock, ...], Field(max_length=16, fail_fast=True)] = Field(default=(), title="Shocks")
    torque_bars: Annotated[tuple[TorqueBar, ...], Field(max_length=8, fail_fast=True)] = Field(
        default=(), title="Torque bars"
    )
    lateral_link: LateralLink | None = Field(default=None, title="Lateral link")
    flexible_lines: Annotated[tuple[FlexibleLine, ...], Field(max_length=16, fail_fast=True)] = Field(
        default=(), title="Hoses, cables, wires"
    )
    obstacles: Annotated[tuple[Obstacle, ...], Field(max_length=100, fail_fast=True)] = Field(
        default=(), title="Obstacles"
    )
    tube_stock: Annotated[tuple[Tube, ...], Field(max_length=40, fail_fast=True)] = Field(
        default=(),
        title="Tubes to be had",
        description="Tubes that your supplier keeps; left empty, common trade sizes are taken.",
    )
    shock_stock: Annotated[tuple[StockedShock, ...], Field(max_length=40, fail_fast=True)] = Field(
        default=(), title="Shocks to be had", description="Shocks that are in hand, or that your supplier keeps."
    )
    plan: Plan | None = Field(default=None, title="Plan")
    order: Wishes | None = Field(default=None, title="Shaft order")
    measured_again: Annotated[tuple[ReadAgain, ...], Field(max_length=12, fail_fast=True)] = Field(
        default=(),
        title="Measured again",
        description="Sets read after the tack, the weld and the drive, in that order.",
    )
    drivelines: Annotated[tuple[Driveline, ...], Field(max_length=1, fail_fast=True)] = Field(
        default=(),
        title="Second driveline",
        description="Where front and rear are driven: the other shaft with its axle; all sections besides are the first.",
    )
    variants: Annotated[tuple[Variant, ...], Field(max_length=MOST_KEPT, fail_fast=True)] = Field(
        default=(),
        title="Kept beside",
        description="Other plans for this vehicle, each the build with some of its entries replaced.",
    )

    @model_validator(mode="after")
    def _front_and_rear(self) -> Self:
        for number, other in enumerate(self.drivelines):
            end, theirs = ("rear" if one is None else one.end for one in (self.axle, other.axle))
            if end == theirs:
                wanted = "rear" if end == "front" else "front"
                raise ValueError(
                    f"drivelines.{number}.axle.end: must be {wanted}, as the first driveline is the {end} one; there is one to each axle"
                )
            if _turned_to(self.plan) is not None and _turned_to(other.plan) is not None:
                raise ValueError(
                    f"drivelines.{number}.plan.powertrain_slope_deg: must be left out where plan.powertrain_slope_deg is "
                    "given, as engine and gearbox turn as one"
                )
        return self

    @model_validator(mode="after")
    def _kept(self) -> Self:
        """Refuse a kept plan that no build can be; what is right is held as the document would hold it."""
        if self.variants:
            names = [one.name for one in self.variants]
            for number, name in enumerate(names):
                if name in names[:number]:
                    raise ValueError(
                        f"variants.{number}.name: must not be what another kept plan is called; change one"
                    )
            held = [Variant(name=one.name, changes=_held(self, place)) for place, one in enumerate(self.variants)]
            self.__dict__["variants"] = tuple(held)
        return self


def _turned_to(plan: Plan | OwnPlan | None) -> float | None:
    return None if plan is None else plan.powertrain_slope_deg


def edited(build: Build, changes: Mapping[str, object]) -> Build:
    """Return a new, wholly revalidated build with the entries at dotted paths replaced; the old one is untouched.

    A missing section on the way is made; list items are addressed by number, e.g. ``obstacles.0.gap_mm``. Where the
    last part of a path is one past the end of a list, the value is appended; the value None takes an item out.
    With two drivelines a slope to set at one output takes the place of one to set at the other.

    >>> edited(Build(), {"axle.pinion_slope_deg": 3.5}).axle.pinion_slope_deg
    3.5

    Raises
    ------
    pydantic.ValidationError
        When the build with these changes is not possible; its location names the entry.
    KeyError
        When a path runs through something that is not a section.
    """
    tree = build.model_dump()
    for path, value in changes.items():
        _put(tree, path.split("."), value)
        there = _slope_to_give_up(path, value)
        if there is not None and value_at(build, there) is not None:
            _put(tree, there.split("."), None)
    try:
        return Build.model_validate(tree)
    except ValidationError:
        if not build.variants or any(path.split(".")[0] == "variants" for path in changes):
            raise
    # Refused by the edit itself, or by a kept plan that leads where nothing is any more.
    bare = Build.model_validate(tree | {"variants": ()})
    return Build.model_validate(tree | {"variants": tuple(_fitting(build, bare, one) for one in build.variants)})


def with_changes(build: Build, one: Variant) -> Build:
    """The build as a kept plan has it, with nothing kept beside it.

    >>> with_changes(Build(), Variant(name="lifted", changes={"plan.rear_lift_mm": 50.8})).plan.rear_lift_mm
    50.8

    Raises
    ------
    pydantic.ValidationError, KeyError
        As `edited`.
    """
    return edited(build.model_copy(update={"variants": ()}), one.changes)


def _held(build: Build, number: int) -> dict[str, Any]:
    """The changes of a kept plan as the document holds their values, so that one build has one text."""
    one = build.variants[number]
    for path in one.changes:
        if path.split(".")[0] == "variants":
            raise VariantRefused(number, path, "must not lead into variants; remove it")
    try:
        made = with_changes(build, one)
    except ValidationError as error:
        first = error.errors()[0]
        raise VariantRefused(number, ".".join(map(str, first["loc"])), first["msg"], error) from None
    except KeyError as error:
        tree = build.model_dump()
        lost = next(path for path, value in one.changes.items() if not _leads(tree, path, value))
        raise VariantRefused(number, lost, f"leads nowhere: {error.args[0]} in this build; correct it") from None
    held = {path: None if value is None else plain(value_at(made, path)) for path, value in one.changes.items()}
    # Where items are taken out of a list, a path may lead to another item afterwards.
    if held != one.changes and with_changes(build, Variant(name=one.name, changes=held)) != made:
        return one.changes
    return held


def _leads(tree: dict[str, Any], path: str, value: object) -> bool:
    """Put a value into a tree; whether there is such a place."""
    try:
        _put(tree, path.split("."), value)
    except KeyError:
        return False
    return True


def _fitting(before: Build, after: Build, one: Variant) -> Variant:
    """A kept plan after an edit: as it was, but for sections whose entries are no more, which it holds as it had them.

    What it leaves empty of a driveline that is no more is left out.
    """
    if _stands(after, one.changes):
        return one
    was, changes = with_changes(before, one), dict[str, Any]()
    for section in dict.fromkeys(path.split(".")[0] for path in one.changes):
        own = {
            path: value
            for path, value in one.changes.items()
            if path.split(".")[0] == section
            and not (value is None and section == "drivelines" and not after.drivelines)
        }
        changes |= own if _stands(after, own) else {section: plain(getattr(was, section))}
    if not _stands(after, changes):  # as one section contradicts another
        changes = dict(differences(after, was))
    return Variant(name=one.name, changes=changes)


def _stands(build: Build, changes: Mapping[str, object]) -> bool:
    """Whether there can be such a build, with nothing kept beside it."""
    try:
        edited(build.model_copy(update={"variants": ()}), changes)
    except (ValidationError, KeyError):
        return False
    return True


_ONE_BODY = {"plan": "drivelines.0.plan", "drivelines.0.plan": "plan"}


def _slope_to_give_up(path: str, value: object) -> str | None:
    """The slope whose place an edit takes: engine and gearbox turn as one, to what one output is set to."""
    section = path.removesuffix(".powertrain_slope_deg")
    if section not in _ONE_BODY:
        return None
    given = plain(value)
    if isinstance(given, dict):
        given = given.get("powertrain_slope_deg")
    return None if given is None else f"{_ONE_BODY[section]}.powertrain_slope_deg"


def _put(tree: dict[str, Any], steps: list[str], value: object) -> None:
    step, *rest = steps
    here = tree.get(step)
    if not rest:
        tree[step] = value.model_dump() if isinstance(value, Section) else value
    elif isinstance(here, tuple):
        tree[step] = _with_item(here, rest, value)
    elif here is None:
        made: dict[str, Any] = {"kind": _FIRST_KIND[step]} if step in _FIRST_KIND else {}
        _put(made, rest, value)
        tree[step] = made
    elif isinstance(here, dict):
        _put(here, rest, value)
    else:
        raise KeyError(f"{step} is not a section")


def _with_item(items: tuple[Any, ...], steps: list[str], value: object) -> tuple[Any, ...]:
    number = int(steps[0]) if steps[0].isdecimal() else -1
    if not 0 <= number <= len(items):
        raise KeyError(f"there is no item {steps[0]}")
    if len(steps) > 1:
        if number == len(items):
            raise KeyError(f"there is no item {number}")
        item = dict(items[number]) if isinstance(items[number], dict) else items[number]
        if not isinstance(item, dict):
            raise KeyError(f"item {number} is not a section")
        _put(item, steps[1:], value)
        new: tuple[Any, ...] = (item,)
    else:
        new = () if value is None else (value.model_dump() if isinstance(value, Section) else value,)
    return (*items[:number], *new, *items[number + 1 :])


def is_front_axle(build: Build) -> bool:
    """Whether the driven axle lies ahead of the gearbox or transfer case."""
    return build.axle is not None and build.axle.end == "front"


def joints_of(build: Build) -> tuple[Joint, ...]:
    """The joints from front to rear; single crosses where the build does not say."""
    shaft = build.shaft
    if shaft is None:
        return (Joint(), Joint())
    found = [shaft.front_joint, shaft.rear_joint]
    if isinstance(shaft, TwoPieceShaft):
        found.insert(1, shaft.centre_joint)
    return tuple(Joint() if joint is None else joint for joint in found)


def value_at(build: Build, path: str) -> Any:
    """Return the entry at a dotted path, or None where it or a section on the way is not there.

    >>> value_at(Build(), "axle.pinion_slope_deg") is None
    True
    """
    here: Any = build
    for step in path.split("."):
        if isinstance(here, tuple):
            number = int(step) if step.isdecimal() else -1
            here = here[number] if 0 <= number < len(here) else None
        else:
            here = here.__dict__.get(step) if isinstance(here, Section) else None
        if here is None:
            return None
    return here
