"""Plans that are kept beside the build: to keep what is chosen, to go on with another one, to call it otherwise.

What is measured is one for all of them. What is chosen (the plan, and how the shaft is made, which shocks it has and
where they and the torque bars are bolted) is what each keeps for itself. All return changes, for `edited`.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from pydantic import ValidationError

from geometry.document.build import MOST_KEPT, Build, edited, value_at, with_changes
from geometry.document.sides import SECOND
from geometry.document.variant import Variant, differences, plain

_OF_SHAFT: Final = {
    "one_piece": ("front_joint", "rear_joint", "tube", "phase_deg"),
    "two_piece": (
        "bearing_mm", "front_joint", "centre_joint", "rear_joint", "front_tube", "rear_tube", "front_phase_deg",
        "rear_phase_deg",
    ),
}  # fmt: skip
_OF_SLIP: Final = ("stroke_mm", "engaged_mm")
_OF_ITEM: Final = {
    "shocks": ("compressed_mm", "extended_mm", "frame_point_mm"),
    "torque_bars": ("frame_point_mm",),
}


def chosen_paths(build: Build) -> Iterator[str]:
    """Dotted paths of what is chosen and not measured, as far as their sections are in the build.

    >>> list(chosen_paths(Build()))
    ['plan']
    """
    yield "plan"
    if build.drivelines:  # the engine is set by either output
        yield f"{SECOND}plan.powertrain_slope_deg"
    if build.shaft is not None:
        yield from (f"shaft.{name}" for name in _OF_SHAFT[build.shaft.kind])
        yield from (f"shaft.slip.{name}" for name in _OF_SLIP) if build.shaft.slip is not None else ("shaft.slip",)
    for section, names in _OF_ITEM.items():
        yield from (f"{section}.{number}.{name}" for number in range(len(getattr(build, section))) for name in names)


def chosen(build: Build) -> dict[str, Any]:
    """Everything that is chosen, by its path; None where it is left empty, so that nothing chosen later gets in.

    >>> chosen(Build())
    {'plan': None}
    """
    return {path: plain(value_at(build, path)) for path in chosen_paths(build)}


def kept(build: Build, number: int) -> Build:
    """The build as one of its kept plans has it, with nothing kept beside it.

    Raises
    ------
    IndexError
        When not so many are kept.
    """
    return with_changes(build, build.variants[number])


def keeping(build: Build, name: str) -> dict[str, Any]:
    """Changes that keep what is chosen beside the build, under a name.

    >>> edited(Build(), keeping(Build(), "as it is")).variants[0].name
    'as it is'
    """
    return {"variants": (*build.variants, Variant(name=name, changes=chosen(build)))}


def kept_as(build: Build, but: int | None = None) -> int | None:
    """Which of the kept plans is just what is chosen now; `but` is one that does not count, None where none is.

    >>> kept_as(Build()), kept_as(edited(Build(), keeping(Build(), "as it is")))
    (None, 0)
    """
    bare = build.model_copy(update={"variants": ()})
    places = (place for place in range(len(build.variants)) if place != but)
    return next((place for place in places if kept(build, place) == bare), None)


def going_on(build: Build, number: int, name: str, *, named: bool = False) -> dict[str, Any]:
    """Changes that make a kept plan the build's; what was the build's is kept in its place, under a name.

    What was kept already is not kept twice. A plan that a person has `named` stays kept besides, and so its name does.
    All the others stay what they were.
    """
    was, made = build.model_copy(update={"variants": ()}), kept(build, number)
    twice = kept_as(build, number) is not None
    beside = []
    for place, one in enumerate(build.variants):
        mine = place == number
        if mine and twice:
            continue
        wanted, changes = (was, chosen(was)) if mine else (kept(build, place), one.changes)
        beside.append(Variant(name=name if mine else one.name, changes=_leading(made, wanted, changes)))
    if named and len(beside) < MOST_KEPT:
        beside.append(Variant(name=build.variants[number].name, changes=chosen(made)))
    fields = (section for section in Build.model_fields if section != "variants")
    sections = {
        section: getattr(made, section) for section in fields if getattr(made, section) != getattr(was, section)
    }
    return {**sections, "variants": tuple(beside)}


def free_name(build: Build, name: str, but: int | None = None) -> str:
    """A name that no kept plan has, as near to the one given as can be; `but` is one that may have it.

    >>> free_name(edited(Build(), keeping(Build(), "3 in of lift")), "3 in of lift")
    '3 in of lift, 2'
    """
    taken = {one.name for place, one in enumerate(build.variants) if place != but}
    made, number = name, 1
    while made in taken:
        number += 1
        made = f"{name[:70]}, {number}"
    return made


def _leading(base: Build, wanted: Build, changes: Mapping[str, Any]) -> dict[str, Any]:
    """Changes that lead from one build to another: these, with the entries in which they leave a difference."""
    try:
        made = edited(base, changes)
    except (ValidationError, KeyError):
        made, changes = base, {}
    apart = dict(differences(made, wanted))
    whole = tuple(f"{path}." for path in apart)
    return {path: value for path, value in changes.items() if not f"{path}.".startswith(whole)} | apart
