"""Entries of the build document as a form shows them, read from the document's own fields: title, help, unit, kind."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from types import NoneType
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from app.naming import AXES
from app.units import Kind, as_kind
from geometry.document.quantity import Section
from geometry.words.wording import capital

EntryKind = Literal["number", "choice", "point", "ratios", "outline", "text", "notes"]
Choice = str | bool | None
"""A value of the document that is chosen, not typed; None where it may stay open."""

CHOICE_WORDS: Final = {
    "cardan": "single cross",
    "double_cardan": "double cross",
    "constant_velocity": "constant velocity",
    "over": "over the axle",
    "under": "under the axle",
    "spring": "spring arch",
    "block": "a block",
    "shackle": "a longer shackle",
    "rear": "rear axle",
    "front": "front axle",
    "side": "the side",
    "top": "above",
    "steel": "steel",
    "aluminium": "aluminium",
    "frame": "the frame",
    "axle": "the axle",
    "engine": "the engine",
    "brake_hose": "brake hose",
    "vent_hose": "vent hose",
    "cable": "cable",
    "sensor_wire": "sensor wire",
    "fuel": "fuel",
    "brakes": "brake lines",
    "welded": "welded on",
    "loose": "loose",
    "fixed": "fixed",
    "flange": "flange",
    "caps": "bare caps",
    "spline": "spline",
    "straps": "yoke with straps",
    "u_bolts": "yoke with U-bolts",
    "clips": "yoke with clips",
    "outside": "outside",
    "inside": "inside",
    "male": "male",
    "female": "female",
    "fine": "fine",
    "coarse": "coarse",
    "output_end": "gearbox end",
    "pinion_end": "axle end",
    "gearbox": "in the gearbox",
    "boot": "boot",
    "lip": "lip seal",
    "tyres": "its tyres",
    "axle_stands": "axles on stands",
    "frame_stands": "frame on stands",
    "settled": "settled",
    "new": "new",
    "fittings": "fittings",
    "sealed": "sealed",
    "tube_only": "tube only",
    "bare": "bare",
    "wheel_flange": "wheel flanges",
    "housing_flange": "end flanges",
    "round": "round",
    "square": "square",
    "part_time": "part-time",
    "full_time": "full-time",
}
"""What the words of the document are on the screen; a number, such as a trade size, stands as it is."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: its dotted path, what the screen calls it, where to measure it, and how it is typed."""

    path: str
    title: str
    help: str
    kind: EntryKind
    unit: Kind = "ratio"
    choices: tuple[Choice, ...] = ()
    axes: tuple[str, ...] = ()
    optional: bool = True


@dataclass(frozen=True, slots=True)
class Group:
    """Entries that belong together, such as one joint's; its path is theirs without the last step."""

    path: str
    title: str
    entries: tuple[Entry, ...] = field(default=())


@cache
def entries_of(model: type[Section], prefix: str) -> tuple[Entry | Group, ...]:
    """Entries of a section in the document's order; a section within it becomes a group, its tag is left out."""
    found: list[Entry | Group] = []
    for name, info in model.model_fields.items():
        path = f"{prefix}.{name}" if prefix else name
        inner = _section(info.annotation)
        if inner is not None:
            entries = tuple(one for one in entries_of(inner, path) if isinstance(one, Entry))
            found.append(Group(path, _title(name, info), entries))
        elif name != "kind":
            found.append(_entry(path, name, info))
    return tuple(found)


def entry_at(model: type[Section], name: str, prefix: str) -> Entry:
    """One entry of a section by its name."""
    return _entry(f"{prefix}.{name}" if prefix else name, name, model.model_fields[name])


def choice_words(choice: Choice) -> str:
    """What a word of the document is on the screen."""
    if choice is None:
        return "not stated"
    if isinstance(choice, bool):
        return "yes" if choice else "no"
    return CHOICE_WORDS.get(choice, choice.replace("_", " "))


def _title(name: str, info: FieldInfo) -> str:
    return info.title or capital(name.replace("_", " "))


def _bare(annotation: Any) -> Any:
    """Type without "or None" and without its limits."""
    while True:
        if get_origin(annotation) is Annotated:
            annotation = get_args(annotation)[0]
            continue
        options = [option for option in get_args(annotation) if option is not NoneType]
        if NoneType in get_args(annotation) and len(options) == 1:
            annotation = options[0]
            continue
        return annotation


def _section(annotation: Any) -> type[Section] | None:
    bare = _bare(annotation)
    return bare if isinstance(bare, type) and issubclass(bare, Section) else None


def _entry(path: str, name: str, info: FieldInfo) -> Entry:
    bare = _bare(info.annotation)
    title, help_text = _title(name, info), info.description or ""
    extra = info.json_schema_extra
    unit = extra.get("unit", "") if isinstance(extra, dict) else ""
    kind = as_kind(str(unit) or "ratio")
    optional = NoneType in get_args(info.annotation)
    if get_origin(bare) is Literal:
        choices = (*((None,) if optional else ()), *get_args(bare))
        return Entry(path, title, help_text, "choice", choices=choices, optional=optional)
    if bare is bool:
        return Entry(
            path, title, help_text, "choice", choices=(*((None,) if optional else ()), True, False), optional=optional
        )
    if bare is str:
        return Entry(path, title, help_text, "notes" if name == "notes" else "text", optional=False)
    if get_origin(bare) is tuple:
        items = get_args(bare)
        if items[-1] is not Ellipsis:
            return Entry(path, title, help_text, "point", kind, axes=AXES[len(items)], optional=optional)
        many: EntryKind = "outline" if get_origin(_bare(items[0])) is tuple else "ratios"
        return Entry(path, title, help_text, many, kind, optional=optional)
    return Entry(path, title, help_text, "number", kind, optional=optional)
