"""From a build and its solution to everything the drawing shows, in millimetres; pure and quick.

A build with positions gives the views to scale; one with slopes and a length alone gives a schematic of true angles and
length; an empty one gives a hint. What is not known is not drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from app.sketch.ends import End, ghost_labels, ghost_strokes
from app.sketch.extents import measured_extents, plain_extents
from app.sketch.labels import angle_labels, flag_labels, line_labels, obstacle_labels, schematic_labels
from app.sketch.plan_view import plan_strokes
from app.sketch.primitives import VIEWS, Extents, Label, Scene, Stroke, View
from app.sketch.shaft_view import (
    Chain,
    Wedge,
    end_yoke,
    extended_line,
    joint_parts,
    joint_types,
    shaft_strokes,
    tube_diameters,
    wedges,
)
from app.sketch.shapes import Pair, along, heading
from app.sketch.side_view import obstacle_of, side_strokes
from app.sketch.words import angle_verdict, next_measurement
from geometry.document import Build, is_front_axle
from geometry.words.solution import Part, Picture, Solution, Triple

CAPTIONS: dict[View, str] = {
    "side": "side view from the vehicle's left, front at left",
    "top": "from above, vehicle's right upward",
}
_SCHEMATIC_CAPTION: dict[View, str] = {"side": "angles and length only; positions not measured", "top": ""}
_SCHEMATIC_LENGTH_MM = 1_000.0


@dataclass(frozen=True, slots=True)
class Posed:
    """A solution moved to a place of its travel or under torque, and the words that say so.

    `moved` says whether the axle is away from ride height.
    """

    solution: Solution
    words: str
    moved: bool


def scene(
    build: Build,
    solution: Solution,
    *,
    selected: Part | None = None,
    obstacle: int | None = None,
    posed: Posed | None = None,
    ends: Sequence[End] = (),
    extents: Extents | None = None,
    travel_room: bool = False,
) -> Scene:
    """Everything that is drawn of a solution; `selected` gets a halo in the accent colour, of obstacles only the one
    with the number `obstacle` where that is given.

    `posed` is the state to draw where it is not ride height; flags stay the solution's own. `ends` are outlined
    faintly. `extents` known from an earlier scene of the same solution save working them out; with `travel_room` they
    leave room for the whole travel.
    """
    picture = solution.picture
    if to_scale(picture):
        made = _measured(build, solution, posed, ends, extents, travel_room=travel_room)
    elif any((picture.output_direction, picture.pinion_direction, picture.section_directions)):
        made = _schematic(build, solution)
    else:
        made = Scene(
            "empty",
            (),
            (),
            plain_extents([], schematic=False),
            {"side": "", "top": ""},
            next_measurement(build),
            _inches(build),
            "nothing to draw yet",
        )
    return _with_halo(made, selected, obstacle) if selected else made


def to_scale(picture: Picture) -> bool:
    """Whether a place is known, so that the drawing has a scale and a floor."""
    return any((picture.output_joint_mm, picture.pinion_joint_mm, picture.axle_centre_mm, picture.rear_hub_mm))


def _inches(build: Build) -> bool:
    return build.display.length == "inch"


def flat(view: View, direction: Triple | None) -> Pair | None:
    """Unit direction of a line as it is seen in a view, or None for one that points straight at the eye."""
    if direction is None:
        return None
    seen = (direction[0], direction[2]) if view == "side" else (direction[0], direction[1])
    unit, length = heading((0.0, 0.0), seen)
    return unit if length > 1e-9 else None


def _seen(view: View, point: Triple) -> Pair:
    return (point[0], point[2]) if view == "side" else (point[0], point[1])


def _chain(view: View, build: Build, picture: Picture, centres: tuple[Triple, ...]) -> Chain:
    ends = (picture.output_direction, picture.pinion_direction)
    first, last = reversed(ends) if is_front_axle(build) else ends
    joints = tuple(_seen(view, at) for at in centres)
    sections = tuple(heading(a, b)[0] for a, b in pairwise(joints))
    lines = (flat(view, first), *sections, flat(view, last))
    return Chain(view, joints, lines, joint_parts(len(joints)), joint_types(build), tube_diameters(build))


def _side_chain(build: Build, picture: Picture) -> Chain | None:
    centres = picture.joint_centres_mm
    return _chain("side", build, picture, centres) if len(centres) > 1 else None


def _measured(
    build: Build,
    whole: Solution,
    posed: Posed | None,
    ends: Sequence[End],
    extents: Extents | None,
    *,
    travel_room: bool,
) -> Scene:
    solution = whole if posed is None else posed.solution
    picture = solution.picture
    away = posed is not None and posed.moved
    strokes = side_strokes(build, picture, away=away) + plan_strokes(build, picture, away=away)
    labels: list[Label] = []
    chains: dict[View, Chain] = {}
    if len(picture.joint_centres_mm) > 1:
        chains = {view: _chain(view, build, picture, picture.joint_centres_mm) for view in ("side", "top")}
        angles, found = _wedges(solution, chains["side"], judged=posed is None)
        strokes += angles
        labels += angle_labels(build, solution, found, judged=posed is None)
        for chain in chains.values():
            strokes += shaft_strokes(chain)
    strokes += _end_lines(build, picture, chains)
    labels += line_labels(build, solution, chains, judged=posed is None)
    told = {str(label.part) for label in labels if label.kept}
    flags = flag_labels(build, solution, strokes, told, judged=posed is None)
    labels += flags
    labels += obstacle_labels(build, strokes, {label.key for label in flags})
    travel = whole.travel if travel_room else None
    reach = (travel.axle_mm[0], travel.axle_mm[-1]) if travel is not None else (0.0, 0.0)
    extents = extents or measured_extents(build, whole.picture, strokes, reach)
    for end in ends:
        strokes += ghost_strokes(build, end, _side_chain(build, end.picture), _side_chain(build, whole.picture))
        labels += ghost_labels(build, end)
    state = "" if posed is None else posed.words
    return Scene(
        "measured", tuple(strokes), tuple(labels), extents, CAPTIONS,
        next_measurement(build), _inches(build), says(solution, state), state,
    )  # fmt: skip


def _wedges(solution: Solution, chain: Chain, *, judged: bool = True) -> tuple[list[Stroke], list[Wedge]]:
    verdicts = {
        number: angle_verdict(solution, joint) if judged else None
        for number, joint in enumerate(solution.joints)
        if joint.operating_deg is not None
    }
    return wedges(chain, verdicts)


def _end_lines(build: Build, picture: Picture, chains: dict[View, Chain]) -> list[Stroke]:
    """Centre lines of output and pinion, run on past their joints to bound the wedges; a lone one where it is known."""
    strokes = []
    front = is_front_axle(build)
    points = (picture.output_joint_mm, picture.pinion_joint_mm)
    directions = (picture.output_direction, picture.pinion_direction)
    parts: tuple[Part, Part] = ("powertrain", "axle")
    for view in VIEWS:
        chain = chains.get(view)
        for part, point, direction in zip(parts, points, directions, strict=True):
            line = flat(view, direction)
            if point is None or line is None:
                continue
            at_front = (part == "axle") == front
            outward, inward = _reaches(picture, part, chain, at_front=at_front)
            before, behind = (outward, inward) if at_front else (inward, outward)
            at = _seen(view, point)
            strokes.append(extended_line(f"{view} {part} line", view, at, line, before, behind, part))
            if chain is not None:
                out = (-line[0], -line[1]) if at_front else line
                strokes.append(end_yoke(f"{view} {part} yoke", view, at, out, chain.joint_radius_mm, part))
        if chain is not None and len(chain.joints) == 3:
            d, span = chain.section(0)[2:]
            ahead = 0.4 * chain.section(1)[3]
            strokes.append(
                extended_line(f"{view} front section line", view, chain.joints[1], d, 0.02 * span, ahead, "shaft")
            )
    return strokes


def _reaches(picture: Picture, part: str, chain: Chain | None, *, at_front: bool) -> tuple[float, float]:
    """How far a line runs from its joint away from the shaft, and toward it."""
    span = 900.0 if chain is None else chain.section(0 if at_front else -2 + len(chain.joints))[3]
    outward = 0.48 * span
    if part == "axle" and picture.axle_centre_mm is not None and picture.pinion_joint_mm is not None:
        outward = abs(picture.axle_centre_mm[0] - picture.pinion_joint_mm[0]) + 150.0
    return outward, (0.41 * span if chain is not None else 0.0)


def _schematic(build: Build, solution: Solution) -> Scene:
    """True angles and length round a first joint put at the origin; nothing else is invented."""
    picture = solution.picture
    section = flat("side", picture.section_directions[-1]) if picture.section_directions else None
    length = solution.shaft.length_mm or _SCHEMATIC_LENGTH_MM
    ends = (picture.output_direction, picture.pinion_direction)
    first, last = (flat("side", line) for line in (reversed(ends) if is_front_axle(build) else ends))
    strokes: list[Stroke] = []
    labels: list[Label] = []
    start = (0.0, 0.0)
    chain = None
    if section is not None:
        end = along(start, section, length)
        diameters = tube_diameters(build)[-1:]
        types = joint_types(build)
        chain = Chain("side", (start, end), (first, section, last), joint_parts(2), (types[0], types[-1]), diameters)
        angles, found = _wedges(solution, chain) if len(solution.joints) == 2 else ([], [])
        strokes += angles + shaft_strokes(chain)
        labels += angle_labels(build, solution, found)
    else:
        end = (length, 0.0)
    inward = 0.41 * length if chain is not None else 0.0
    parts: tuple[Part, Part] = ("axle", "powertrain") if is_front_axle(build) else ("powertrain", "axle")
    if first is not None:
        strokes.append(extended_line("side first line", "side", start, first, 0.36 * length, inward, parts[0]))
    if last is not None:
        strokes.append(extended_line("side last line", "side", end, last, inward, 0.36 * length, parts[1]))
    labels += schematic_labels(build, solution, chain, start, end, first, last, length)
    labels += flag_labels(build, solution, strokes, {str(label.part) for label in labels if label.kept})
    return Scene(
        "schematic", tuple(strokes), tuple(labels), plain_extents(strokes, schematic=True), _SCHEMATIC_CAPTION,
        next_measurement(build), _inches(build), says(solution),
    )  # fmt: skip


def says(solution: Solution, state: str = "") -> str:
    """One sentence on what the drawing shows, for those who do not see it; `state` where it is not ride height."""
    parts = [
        f"{joint.name} joint {joint.operating_deg:.1f} degrees"
        for joint in solution.joints
        if joint.operating_deg is not None
    ]
    flags = [f"{one.verdict} {one.title.lower()}" for one in solution.findings if one.verdict in {"hold", "caution"}]
    words = [", ".join(parts) or "joint angles not known", ", ".join(flags[:6]) or "no hold and no caution"]
    return "Side view over top view. " + "; ".join([*([state] if state else []), *words]) + "."


_NO_HALO = frozenset({
    "joint_mark", "centre", "wedge_clear", "wedge_caution", "wedge_hold", "arc_clear", "arc_caution", "arc_hold",
})  # fmt: skip


def _with_halo(made: Scene, part: Part, obstacle: int | None) -> Scene:
    halos = [
        replace(one, key=f"halo {one.key}", role="selected", part=None, layer="moving", hard=False)
        for one in made.strokes
        if one.part == part and one.role not in _NO_HALO
        and (obstacle is None or part != "obstacles" or obstacle_of(one.key) == obstacle)
    ]  # fmt: skip
    return replace(made, strokes=(*made.strokes, *halos)) if halos else made
