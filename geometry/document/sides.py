"""A vehicle with two drivelines, seen from either: one build in, the same build with the other driveline in front out.

Every view of a build, and all that judges it, knows one driveline: the first. So the second is looked at by putting it
in the first's place. Doing that twice gives back what was there, so an edit of what is seen is put back the same way.
"""

from collections.abc import Mapping
from math import nan
from typing import Any, Final, Literal

from geometry.document.brackets import Plan
from geometry.document.build import Build, is_front_axle
from geometry.document.driveline import Driveline, Output, OwnPlan, Wheels
from geometry.document.quantity import Section
from geometry.document.running_gear import Axle
from geometry.document.state import State
from geometry.document.vehicle import Powertrain, Vehicle

End = Literal["front", "rear"]
_PARTS: Final[tuple[tuple[str, type[Section], str, type[Section], tuple[str, ...]], ...]] = (
    ("powertrain", Powertrain, "output", Output, tuple(Output.model_fields)),
    ("vehicle", Vehicle, "wheels", Wheels, tuple(name for name in Wheels.model_fields if name in Vehicle.model_fields)),
    ("state", State, "wheels", Wheels, tuple(name for name in Wheels.model_fields if name in State.model_fields)),
    ("plan", Plan, "plan", OwnPlan, tuple(OwnPlan.model_fields)),
)
"""Shared sections with entries that each driveline has for itself: section, where the second keeps those, and which."""
_WHOLE: Final = tuple(
    name for name in Driveline.model_fields if name not in {"drive", *(part for _, _, part, _, _ in _PARTS)}
)
"""Sections that each driveline has for itself."""
_TO_SLOPE: Final = "plan.powertrain_slope_deg"
SECOND: Final = "drivelines.0."
"""Every path into the second driveline begins so."""


def end_of(build: Build) -> End:
    """Which axle the first driveline drives."""
    return "front" if is_front_axle(build) else "rear"


def other_end(end: End) -> End:
    """The other one.

    >>> other_end("rear")
    'front'
    """
    return "rear" if end == "front" else "front"


def swapped(build: Build) -> Build:
    """The build with its second driveline in the first's place, and the first in the second's; itself where it has one.

    What is shared stays: lifts, mounts, gauge, engine. A section without an entry is left out. Swapped twice it is as
    it was.

    >>> from geometry.document.build import edited
    >>> both = edited(Build(), {"drivelines": ({"axle": {"end": "front"}, "output": {"slope_deg": 2.0}},)})
    >>> swapped(both).powertrain.slope_deg, end_of(swapped(both)), swapped(swapped(both)) == both
    (2.0, 'front', True)
    """
    if not build.drivelines:
        return build
    other = build.drivelines[0]
    first: dict[str, Any] = {name: getattr(other, name) for name in _WHOLE}
    second: dict[str, Any] = {name: getattr(build, name) for name in _WHOLE}
    for section, model, part, own, names in _PARTS:
        here, there = getattr(build, section), getattr(other, part)
        first[section] = _with(model, here, there, own, names)
        second[part] = _with(own, second.get(part), here, model, names)
    first["drivelines"] = (other.model_copy(update=second),)
    first["variants"] = tuple(
        one.model_copy(update={"changes": changes_swapped(one.changes)}) for one in build.variants
    )
    return build.model_copy(update=first)


def _with(
    model: type[Section], kept: Section | None, taken: Section | None, of: type[Section], names: tuple[str, ...]
) -> Section | None:
    """A section with some entries taken from another; None where nothing stands in it."""
    taken = of() if taken is None else taken
    made = (model() if kept is None else kept).model_copy(update={name: getattr(taken, name) for name in names})
    return None if made == model() else made


def driveline(build: Build, number: int) -> Build:
    """The build seen from its first driveline, number 0, or its second, number 1; and what was seen so put back.

    Raises
    ------
    IndexError
        When there is no such driveline.
    """
    if not 0 <= number <= len(build.drivelines):
        raise IndexError(f"there is no driveline {number}")
    return swapped(build) if number else build


def path_swapped(path: str) -> str:
    """What an entry is called once the drivelines have changed places; what is shared stays as it is.

    >>> path_swapped("drivelines.0.output.slope_deg"), path_swapped("shaft.slip.stroke_mm")
    ('powertrain.slope_deg', 'drivelines.0.shaft.slip.stroke_mm')
    >>> path_swapped("state.taped_load_kg"), path_swapped("drivelines.0.drive"), path_swapped("plan.mount_shim_mm")
    ('drivelines.0.wheels.taped_load_kg', 'drivelines.0.drive', 'plan.mount_shim_mm')
    """
    if path == f"{SECOND}drive":
        return path
    second = path.startswith(SECOND)
    head, dot, rest = path.removeprefix(SECOND).partition(".")
    name = rest.partition(".")[0]
    for section, _, part, _, names in _PARTS:
        if head == (part if second else section) and name in names:
            return f"{section if second else SECOND + part}{dot}{rest}"
    if second:
        return f"{head}{dot}{rest}"
    return f"{SECOND}{path}" if head in _WHOLE else path


def changes_swapped(changes: Mapping[str, Any]) -> dict[str, Any]:
    """Edits as they are once the drivelines have changed places; a section that they share in part is taken apart.

    What leads to `drivelines` as a whole stays as it is.

    >>> changes_swapped({"plan": {"rear_lift_mm": 25.0, "axle_shim_deg": 2.0}})["drivelines.0.plan.axle_shim_deg"]
    2.0
    >>> changes_swapped({"plan": None})["plan.rear_lift_mm"] is None
    True
    """
    made: dict[str, Any] = {}
    for path, value in changes.items():
        made |= _taken_apart(path, value) or {path_swapped(path): value}
    return made


def _taken_apart(path: str, value: Any) -> dict[str, Any]:
    """A section, of which some belongs to each driveline, entry by entry; nothing of any other path."""
    made: dict[str, Any] = {}
    for section, model, part, own, names in _PARTS:
        if path == section:
            whole = _filled(model, value)
            return {path_swapped(f"{section}.{name}"): one for name, one in whole.items()}
        if path == f"{SECOND}{part}":
            whole = _filled(own, value)
            made |= {f"{section}.{name}": whole[name] for name in names}
    return made


def _filled(model: type[Section], value: Any) -> dict[str, Any]:
    """Every entry of a section, what is left out as it is without it."""
    given = value.model_dump() if isinstance(value, Section) else value or {}
    return {name: given.get(name, field.default) for name, field in model.model_fields.items()}


def changes_over(changes: Mapping[str, float]) -> dict[str, float]:
    """What changes of the first driveline's numbers are in the second: those of what is shared, as it calls them.

    nan stands for what is taken out.

    >>> changes_over({"plan.mount_shim_mm": 6.0, "plan.axle_shim_deg": 2.0, "powertrain.slope_deg": 3.0})
    {'plan.mount_shim_mm': 6.0}
    >>> changes_over({"plan.powertrain_slope_deg": 3.0})
    {'drivelines.0.plan.powertrain_slope_deg': 3.0, 'plan.powertrain_slope_deg': nan}
    """
    over = {path: value for path, value in changes.items() if path_swapped(path) == path}
    if _TO_SLOPE in changes:  # one body turns to one slope
        over |= {path_swapped(_TO_SLOPE): changes[_TO_SLOPE], _TO_SLOPE: nan}
    return over


def with_driveline(build: Build) -> dict[str, object]:
    """Edits that give a build an empty second driveline, at the other end."""
    return {"drivelines": (Driveline(axle=Axle(end=other_end(end_of(build)))),)}


def unplanned(build: Build) -> Build:
    """The build as measured, without any plan."""
    bare = build.model_copy(update={"plan": None})
    if not build.drivelines:
        return bare
    others = tuple(one.model_copy(update={"plan": None}) for one in build.drivelines)
    return bare.model_copy(update={"drivelines": others})
