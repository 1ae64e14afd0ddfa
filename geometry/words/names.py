"""What an entry is called in a sentence, from the document's own title."""

from functools import lru_cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from geometry.document import Build
from geometry.document.sides import SECOND, end_of, other_end, path_swapped, swapped
from geometry.words.wording import capital, small

_OWNERS = {
    "front_joint": "front joint's", "centre_joint": "centre joint's", "rear_joint": "rear joint's",
    "front_end": "shaft's front end's", "rear_end": "shaft's rear end's", "output_end": "output's",
    "pinion_end": "pinion's", "front_tube": "front section's", "rear_tube": "rear section's",
    "lateral_link": "lateral link's", "shocks": "shock's", "torque_bars": "torque bar's",
}  # fmt: skip
_ENDS = {
    "front_end": "what is on the shaft's front end", "rear_end": "what is on the shaft's rear end",
    "output_end": "what is on the gearbox's output", "pinion_end": "what is on the pinion",
}  # fmt: skip
_OF_STATE = {
    "state.springs": "whether the springs were new or settled", "state.driver_in": "whether the driver sat in it",
    "state.front_load_kg": "the load at the front when it was measured",
    "state.rear_load_kg": "the load at the rear when it was measured",
}  # fmt: skip
_OF_BOTH = {"drivelines.0.drive": "whether it is part-time or full-time four-wheel drive"}
_SPRINGS = frozenset({"front_eye_mm", "front_half_mm", "rear_half_mm", "seat_to_axle_mm"})
_SHORTER = {
    ", first to top": "", ", loaded": "", ", joint to joint": "", ", give or take": "'s give or take",
    ", seen from above": " seen from above",
}  # fmt: skip


def field_of(build: Build, path: str) -> FieldInfo:
    """The document's field at a dotted path, whether it is entered or not; of springs or links those of the build.

    Raises
    ------
    KeyError
        When the document has no such entry.
    """
    suspension: Any = type(build.suspension)
    shaft: Any = type(build.shaft)
    return _field(path, suspension, shaft)


@lru_cache(maxsize=1024)
def _field(path: str, suspension: type, shaft: type) -> FieldInfo:
    kinds = {"suspension": suspension, "shaft": shaft}
    steps = [step for step in path.split(".") if not step.isdecimal()]
    model: Any = Build
    field: FieldInfo | None = None
    for place, step in enumerate(steps):
        if model is None or step not in model.model_fields:
            raise KeyError(path)
        field = model.model_fields[step]
        kind = kinds.get(step, type(None)) if place == 0 else type(None)
        model = kind if issubclass(kind, BaseModel) else _section_with(field.annotation, steps[place + 1 :])
    if field is None:
        raise KeyError(path)
    return field


def _section_with(annotation: Any, behind: list[str]) -> Any:
    found = [one for one in _sections(annotation) if not behind or behind[0] in one.model_fields]
    return found[0] if found else None


def _sections(annotation: Any) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in (Annotated, Union, UnionType, tuple):
        return [section for part in get_args(annotation) for section in _sections(part)]
    return []


def name_of(build: Build, path: str) -> str:
    """Name of an entry in a sentence; one of the other driveline with its end.

    >>> name_of(Build(), "axle.pinion_slope_deg"), name_of(Build(), "shaft.rear_joint.max_angle_deg")
    ('the pinion slope', "the rear joint's greatest angle")
    """
    if path.startswith(SECOND) and path_swapped(path) != path:
        return f"{name_of(swapped(build), path_swapped(path))} at the {other_end(end_of(build))}"
    return _named(path, field_of(build, path).title or path)


def whole_name(build: Build) -> str:
    """What the verdict over all findings of a build is of, in a sentence: with two drivelines of the one in sight.

    >>> whole_name(Build())
    'whole build'
    """
    return f"{end_of(build)} shaft" if build.drivelines else "whole build"


def of_shaft(build: Build, says: str) -> str:
    """A sentence about a build, which with two drivelines names the shaft that it is about.

    >>> of_shaft(Build(), "Not judged yet.")
    'Not judged yet.'
    """
    return f"{capital(whole_name(build))}: {small(says)}" if build.drivelines else says


@lru_cache(maxsize=1024)
def _named(path: str, title: str) -> str:
    if path in _OF_STATE or path in _OF_BOTH:
        return (_OF_STATE | _OF_BOTH)[path]
    title = small(title)
    for long, short in _SHORTER.items():
        title = title.replace(long, short)
    steps = path.split(".")
    if steps[-1] == "type" and steps[-2] in _ENDS:
        return _ENDS[steps[-2]]
    owner = next((_OWNERS[step] for step in steps[:-1] if step in _OWNERS), "")
    if steps[0] == "suspension" and steps[-1] in _SPRINGS:
        owner = "spring's"
    if title.startswith("drag link"):
        owner = ""  # which is its own
    if owner.endswith("joint's"):
        title = title.removeprefix("joint ")
    return f"the {owner} {title}" if owner else f"the {title}"
