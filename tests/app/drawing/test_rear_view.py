"""The view from behind: it comes with what is read from there, is true to scale, and its words lie on nothing."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
import shapely

from app.drawing.board import Board
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Disc, Shape, Words
from app.drawing.palette import LIGHT
from app.drawing.places import View
from app.drawing.rear import across_of, rail_of, shows_behind
from app.drawing.rear_words import numbers_of, seen
from app.drawing.subject import Subject
from app.drawing.zones import Look
from app.units import show
from geometry.document import Build, edited
from geometry.words.solution import Part
from tests.app.drawing.drawn import SAMPLES, STATES, box, draw, pairs, sample, subject_of

SIZES = ((718, 534), (794, 478), (1238, 725))
"""The drawing in windows of 1280 by 720, 1366 by 768 and 1920 by 1080."""
PARTS: tuple[Part, ...] = ("shocks", "torque_bars", "lateral_link", "perches", "flexible_lines")
MEASURED = [name for name in SAMPLES if name != "three_angles_and_a_length"]
BAR = {"frame_point_mm": (2450.0, -380.0, 430.0), "axle_point_mm": (3170.0, -390.0, 290.0)}
FRONT = {
    "shocks": tuple(
        {"frame_point_mm": (-120.0, way * 330.0, 780.0), "axle_point_mm": (-90.0, way * 420.0, 340.0)}
        for way in (-1.0, 1.0)
    ),
    "lateral_link": {
        "frame_point_mm": (-60.0, -420.0, 560.0), "axle_point_mm": (-70.0, 400.0, 440.0),
        "drag_box_mm": (-250.0, -400.0, 500.0), "drag_axle_mm": (-150.0, 380.0, 430.0),
    },
    "flexible_lines": (
        {"frame_point_mm": (80.0, 350.0, 700.0), "axle_point_mm": (20.0, 380.0, 430.0), "free_length_mm": 420.0},
    ),
}  # fmt: skip
MORE: dict[str, dict[str, object]] = {
    "front_axle_lift": FRONT,
    "ranch_truck_swap": {
        "torque_bars": (BAR,),
        "flexible_lines": ({"frame_point_mm": (3100.0, 120.0, 640.0), "axle_point_mm": (3200.0, 60.0, 470.0)},),
    },
    "lifted_short_shaft": {
        "shocks": ({"frame_point_mm": (2000.0, 310.0, 640.0), "axle_point_mm": (2180.0, 340.0, 340.0)},),
    },
}
"""Samples with more bolted to them."""


@cache
def build_of(name: str, *, more: bool) -> Build:
    return edited(sample(name), MORE.get(name, {})) if more else sample(name)


@cache
def subject(name: str, state: str, *, more: bool) -> Subject | None:
    return subject_of(build_of(name, more=more), state)


def subjects(name: str) -> Iterator[tuple[str, Subject]]:
    """A sample as it is and with more, in every state that is known."""
    for more in (False, True) if name in MORE else (False,):
        for state in STATES:
            found = subject(name, state, more=more)
            if found is not None:
                yield state, found


def made(shown: Subject, size: tuple[int, int], chosen: Part | None = "perches") -> Drawing:
    """As the window draws it: with the flags' form of ride height."""
    rest = Subject(shown.build, shown.whole, shown.whole)
    return drawing(shown, size, Style(chosen=chosen), form=drawing(rest, size, Style()).form)


def rear(of: Drawing) -> View:
    assert of.zones is not None
    assert of.zones.rear is not None
    return of.zones.rear


def items_behind(of: Drawing) -> list[Shape | Disc | Words]:
    """What is drawn in the view from behind, over its words under it."""
    return [item for layer in of.layers if layer.box == rear(of).box for item in layer.items]


def said_behind(of: Drawing) -> list[tuple[tuple[float, float, float, float], str]]:
    return [(one, text) for one, text in of.words if rear(of).holds((one[0], one[1]))]


EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in MEASURED for size in SIZES])


@EVERY
def test_no_word_lies_over_a_word_and_all_lie_on_the_page(name: str, size: tuple[int, int]) -> None:
    for _, shown in subjects(name):
        page = made(shown, size)
        boxes = [box(one, 0.5) for one, text in page.words if text.strip()]
        assert not [True for one, other in pairs(boxes) if one.intersects(other)]
        whole = shapely.box(-1.0, -1.0, size[0] + 1.0, size[1] + 1.0)
        assert all(whole.covers(one) for one in boxes)
        inside = shapely.box(*rear(page).box).buffer(1.0)
        drawn = [one for one in items_behind(page) if isinstance(one, Words)]
        behind = {text for _, text in said_behind(page)}
        assert drawn
        assert {one.text for one in drawn} <= behind
        assert all(inside.covers(box(one, 0.5)) for one, _ in said_behind(page))


@EVERY
def test_every_number_is_nearest_to_its_own_part(name: str, size: tuple[int, int]) -> None:
    for _, shown in subjects(name):
        page, view = made(shown, size), None
        view = rear(page)
        told = numbers_of(shown)
        lines = [shapely.LineString(view.all_px(one.part)) for one in told]
        values = sorted(one.value for one in told)
        written = [(one, text) for one, text in said_behind(page) if text in values and "°" in text]
        assert sorted(text for _, text in written) == values
        nearest = []
        for at, text in written:
            away = [line.distance(shapely.Point((at[0] + at[2]) / 2.0, (at[1] + at[3]) / 2.0)) for line in lines]
            number = away.index(min(away))
            assert told[number].value == text
            nearest.append(number)
        assert sorted(nearest) == list(range(len(told)))


@EVERY
def test_a_name_is_nearest_to_what_it_names(name: str, size: tuple[int, int]) -> None:
    """A wire's name over the frame rail once was the rail's, and a link's number between two links was nobody's."""
    for _, shown in subjects(name):
        page, picture = made(shown, size), shown.picture
        view = rear(page)
        lines = [("shock", seen(one)) for one in picture.shocks_mm]
        lines += [("torque bar", seen(one)) for one in picture.torque_bars_mm]
        links = (("lateral link", picture.lateral_link_mm), ("drag link", picture.drag_link_mm))
        lines += [(text, seen(one)) for text, one in links if one is not None]
        hung = zip(shown.build.flexible_lines, picture.flexible_lines_mm, strict=True)
        lines += [(one.name, tuple((y, z) for _, y, z in line)) for one, line in hung if line]  # type: ignore[misc]
        rails = shapely.MultiPoint([view.px((y, z)) for y in across_of(shown).rails for z in rail_of(shown) or ()])
        drawn = [(text, shapely.LineString(view.all_px(line))) for text, line in lines]
        wanted = {"shock", "torque bar", *(one.name for one in shown.build.flexible_lines)}
        for at, text in said_behind(page):
            if text not in wanted:
                continue
            middle = shapely.Point((at[0] + at[2]) / 2.0, (at[1] + at[3]) / 2.0)
            own = min(line.distance(middle) for other, line in drawn if other == text)
            others = [line.distance(middle) for other, line in drawn if other != text]
            assert own < min([*others, rails.distance(middle) if not rails.is_empty else own + 1.0]), text
        said = {text for _, text in said_behind(page)}
        if picture.lateral_link_mm is not None and picture.drag_link_mm is not None:
            assert {"lateral link", "drag link"} <= said


@EVERY
def test_what_is_drawn_is_named_once_at_most(name: str, size: tuple[int, int]) -> None:
    for _, shown in subjects(name):
        words = [text.strip() for _, text in said_behind(made(shown, size)) if text.strip().isalpha() or " " in text]
        names = [text for text in words if not any(one.isdigit() for one in text)]
        assert len(names) == len(set(names))


@EVERY
def test_lengths_stand_between_what_they_measure(name: str, size: tuple[int, int]) -> None:
    for _, shown in subjects(name):
        page, across, axle = made(shown, size), across_of(shown), shown.build.axle
        assert axle is not None
        view = rear(page)
        left, right = (view.x(one) for one in across.perches)
        middles = {text: (at[0] + at[2]) / 2.0 for at, text in said_behind(page)}
        spacing = show(axle.perch_spacing_mm or 0.0, "mm", shown.build.display)
        assert left < middles[spacing] < right
        beside = (
            (axle.flange_to_perch_left_mm, view.x(across.flanges[0]), left),
            (axle.flange_to_perch_right_mm, right, view.x(across.flanges[1])),
        )
        for value, low, high in beside:
            text = None if value is None else show(value, "mm", shown.build.display)
            near = [(at[0] + at[2]) / 2.0 for at, said in said_behind(page) if said == text]
            assert text is None or any(low - 1.0 <= one <= high + 1.0 for one in near)


@pytest.mark.parametrize("size", SIZES)
def test_the_row_of_lengths_keeps_off_a_housing_that_hangs_in_droop(size: tuple[int, int]) -> None:
    """The van's housing, larger than most, hung over its own 1,050 mm."""
    shown = subject("long_van_two_piece", "droop", more=False)
    assert shown is not None
    assert shown.picture.axle_centre_mm is not None
    page = made(shown, size, "torque_bars")
    low = rear(page).y(shown.picture.axle_centre_mm[2] - 0.93 * shown.housing_mm)
    (row,) = [one for one, text in said_behind(page) if text == "1,050 mm"]
    assert row[1] > low - 1.0


@EVERY
def test_the_other_views_keep_every_point_where_it_was(name: str, size: tuple[int, int]) -> None:
    for _, shown in subjects(name):
        page, without = made(shown, size), made(shown, size, None)
        assert page.form == without.form
        for zones in (page.zones, without.zones):
            assert zones is not None
        assert page.zones is not None
        assert without.zones is not None
        assert without.zones.rear is None
        for now, before in ((page.zones.side, without.zones.side), (page.zones.top, without.zones.top)):
            assert (now is None) == (before is None)
            for at in ((0.0, 0.0), (2000.0, 300.0)):
                assert now is None or before is None or now.px(at) == pytest.approx(before.px(at), abs=1e-6)
        boxes = [shapely.box(*one.box) for one in (page.zones.side, page.zones.top, page.zones.rear) if one is not None]
        assert all(one.intersection(other).area < 1.0 for one, other in pairs(boxes))


@EVERY
def test_all_of_it_is_in_sight_at_ride_height_with_room_for_the_hand(name: str, size: tuple[int, int]) -> None:
    for state, shown in subjects(name):
        if state != "ride":
            continue
        view, picture = rear(made(shown, size)), shown.picture
        ends = [*picture.shocks_mm, *picture.torque_bars_mm, *(line for line in picture.flexible_lines_mm if line)]
        ends += [one for one in (picture.lateral_link_mm, picture.drag_link_mm) if one is not None]
        for _, y, z in (point for one in ends for point in one):
            x, up = view.px((y, z))
            assert all(view.holds((x + dx, up + dy)) for dx in (-13.0, 13.0) for dy in (-13.0, 13.0))


def test_it_comes_with_what_is_read_from_behind_and_is_there() -> None:
    for name in SAMPLES:
        for more in (False, True):
            shown = subject(name, "ride", more=more)
            assert shown is not None
            picture = shown.picture
            there = {
                "shocks": bool(picture.shocks_mm), "torque_bars": bool(picture.torque_bars_mm),
                "lateral_link": picture.lateral_link_mm is not None or picture.drag_link_mm is not None,
                "perches": shown.measured, "flexible_lines": any(picture.flexible_lines_mm),
            }  # fmt: skip
            for part in (*PARTS, "axle", "shaft", "vehicle", None):
                page = drawing(shown, (900, 600), Style(chosen=part))  # type: ignore[arg-type]
                wanted = there.get(str(part), False) and shown.measured
                assert shows_behind(shown, part) == wanted  # type: ignore[arg-type]
                assert (page.zones is not None and page.zones.rear is not None) == wanted
                assert ("from behind" in page.says) == wanted


def test_it_gives_way_to_an_outline_that_is_drawn_and_to_a_page_that_is_too_small() -> None:
    shown = subject("ranch_truck_swap", "ride", more=False)
    assert shown is not None
    drawn = drawing(shown, (900, 600), Style(chosen="shocks", both_views=True))
    assert drawn.zones is not None
    assert drawn.zones.rear is None
    small = drawing(shown, (420, 280), Style(chosen="shocks"))
    assert small.zones is not None
    assert small.zones.rear is None


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift", "transfer_case_double_joint"])
def test_ends_lie_true_to_scale_over_the_floor_left_at_the_left(name: str, state: str) -> None:
    """An eye at each end, where the state that is shown has it; both directions at one scale."""
    shown = subject(name, state, more=True)
    if shown is None:
        return
    page = made(shown, (1238, 725))
    view, picture = rear(page), shown.picture
    centres = [one.centre for one in items_behind(page) if isinstance(one, Disc)]
    links = [one for one in (picture.lateral_link_mm, picture.drag_link_mm) if one is not None]
    ends = [seen(one) for one in (*picture.shocks_mm, *picture.torque_bars_mm, *links)]
    assert ends
    floor = view.y(0.0)
    for y, z in (end for pair in ends for end in pair):
        at = (view.x(0.0) + y * view.scale, floor - z * view.scale)
        assert any(one == pytest.approx(at, abs=1e-6) for one in centres)
    assert view.x(-100.0) < view.x(100.0)
    assert picture.axle_centre_mm is not None
    tyres = [
        one for one in items_behind(page)
        if isinstance(one, Shape) and one.stroke and one.stroke.colour == Board(LIGHT).tint(0.50)
        and one.fill == Board(LIGHT).tint(0.06)
    ]  # fmt: skip
    assert len(tyres) == 2
    for one in tyres:
        ups = [y for _, y in one.points]
        assert shown.tyre_mm is not None
        assert max(ups) - min(ups) == pytest.approx(2.0 * shown.tyre_mm * view.scale)
        assert (max(ups) + min(ups)) / 2.0 == pytest.approx(view.y(picture.axle_centre_mm[2]))
        assert one.stroke is not None
        assert one.stroke.dash  # nobody measures how wide it is


@pytest.mark.parametrize(("entries", "more"), [
    ({"axle.tube_diameter_mm": None}, 2), ({"axle.flange_to_perch_left_mm": None}, 2),
    ({"axle.perch_spacing_mm": None}, 10),
])  # fmt: skip
def test_what_is_not_measured_is_dashed_and_has_no_number(entries: dict[str, object], more: int) -> None:
    def dashed(build: Build) -> int:
        page = draw(build, (1238, 725), style=Style(chosen="perches"))
        return sum(bool(one.stroke and one.stroke.dash) for one in items_behind(page) if not isinstance(one, Words))

    whole = sample("ranch_truck_swap")
    less = edited(whole, entries)
    assert dashed(less) >= dashed(whole) + more
    page = draw(less, (1238, 725), style=Style(chosen="perches"))
    said = [text for _, text in said_behind(page)]
    assert ("39.76 in" in said) == ("axle.perch_spacing_mm" not in entries)
    assert "8.19 in" not in said or "axle.tube_diameter_mm" in entries


def test_rails_lie_where_they_were_measured_from_the_flanges() -> None:
    build = edited(sample("ranch_truck_swap"), {"square.offset_left_mm": 250.0, "square.offset_right_mm": 260.0})
    shown = subject_of(build)
    assert shown is not None
    across = across_of(shown)
    assert across.railed == (True, True)
    assert across.rails == pytest.approx((across.flanges[0] + 250.0, across.flanges[1] - 260.0))
    half = subject_of(edited(build, {"square.offset_left_mm": None}))
    assert half is not None
    assert across_of(half).railed == (False, True)
    bare = subject_of(edited(build, {"vehicle.frame_height_mm": None}))
    assert bare is not None
    assert not any("frame rail" in text for _, text in said_behind(made(bare, (1238, 725))))


def test_numbers_wear_their_verdicts_colour_and_mark() -> None:
    """A link that slopes more than is clear, a shock that leans too far, perches that do not fit their springs."""
    build = edited(
        build_of("front_axle_lift", more=True),
        {
            "perches.springs_apart_mm": 700.0,
            "lateral_link.axle_point_mm": (-70.0, 400.0, 380.0),
            "shocks.0.frame_point_mm": (-120.0, 150.0, 560.0),
        },
    )
    shown = subject_of(build)
    assert shown is not None
    found = {one.id: one.verdict for one in shown.whole.findings}
    page = made(shown, (1238, 725))
    words = [one for one in items_behind(page) if isinstance(one, Words)]
    judged = [(one.value, found[one.finding]) for one in numbers_of(shown)]
    judged.append(("30.71 in", found["perch_spacing"]))
    assert {"hold", "caution"} & {verdict for _, verdict in judged}
    for value, verdict in judged:
        colour = LIGHT.colour(verdict) if verdict in {"hold", "caution"} else LIGHT.ink
        assert any(one.text == value and one.colour == colour for one in words), (value, verdict)


def test_away_from_ride_height_numbers_say_that_they_are_of_it_and_the_floor_goes() -> None:
    for state in ("bump", "launch"):
        shown = subject("transfer_case_double_joint", state, more=False)
        if shown is not None:
            assert all(one.value.startswith("ride ") for one in numbers_of(shown))
    rest = subject("transfer_case_double_joint", "ride", more=False)
    bump = subject("transfer_case_double_joint", "bump", more=False)
    assert rest is not None
    assert bump is not None
    assert {one.value for one in numbers_of(rest)} == {one.value.removeprefix("ride ") for one in numbers_of(bump)}
    ground = Board(LIGHT).theme.band
    for shown, there in ((rest, True), (bump, False)):
        filled = [one.fill for one in items_behind(made(shown, (1238, 725))) if isinstance(one, Shape)]
        assert (ground in filled) == there


def test_only_what_is_read_from_behind_can_be_pressed_there() -> None:
    """A press on anything else would take the view away from under the pointer."""
    for name in MEASURED:
        shown = subject(name, "ride", more=True)
        assert shown is not None
        page = made(shown, (1238, 725))
        pressed = {target.part for bounds, targets in page.pressable if bounds == rear(page).box for target in targets}
        assert "perches" in pressed
        assert pressed <= set(PARTS)


def test_a_held_page_keeps_the_view_where_it_is() -> None:
    shown = subject("ranch_truck_swap", "ride", more=False)
    assert shown is not None
    page = made(shown, (718, 534), "shocks")
    moved = edited(shown.build, {"shocks.0.frame_point_mm": (3235.0, -250.0, 700.0)})
    other = subject_of(moved)
    assert other is not None
    assert page.zones is not None
    again = drawing(other, (718, 534), Style(chosen="shocks"), look=page.zones, form=page.form)
    assert again.zones is not None
    assert again.zones.rear == page.zones.rear
    assert again.zones.top == page.zones.top
    assert replace(again.zones, side=page.zones.side) == page.zones


@EVERY
def test_it_stands_still_over_the_travel_and_while_the_side_view_is_moved_and_magnified(
    name: str, size: tuple[int, int]
) -> None:
    for more in (False, True):
        shown = subject(name, "ride", more=more)
        assert shown is not None
        page = made(shown, size)
        assert page.zones is not None
        side = page.zones.side
        looks: tuple[Look | View, ...] = (side.shifted(60.0, -80.0), side.zoomed((400.0, 200.0), 2.5), "whole", "axle")
        for look in looks:
            again = drawing(shown, size, Style(chosen="perches"), look=look, form=page.form)
            assert rear(again) == rear(page)
        for state in STATES:
            other = subject(name, state, more=more)
            assert other is None or rear(made(other, size)) == rear(page)
