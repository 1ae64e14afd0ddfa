"""The row of numbers above and the row of findings below: each beside its part, whole, and nothing over anything."""

import random
from collections.abc import Iterator
from dataclasses import replace

import pytest
import shapely

from app.drawing.board import meets
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.flags import FORMS, NOWHERE, FlagsRow
from app.drawing.items import Shape
from app.drawing.numbers import BIG_PT, SMALL_PT
from app.drawing.palette import DARK, LIGHT, contrast
from app.drawing.subject import Subject
from app.units import leaning
from geometry.words.solve import Work
from tests.app.drawing.drawn import (
    SAMPLES,
    SIZES,
    STATES,
    box,
    changed,
    discs,
    line,
    page,
    pages,
    pairs,
    sample,
    subject,
    subject_of,
    written,
)  # fmt: skip

EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in SAMPLES for size in SIZES])


def numbers_wanted(shown: Subject) -> list[str]:
    """What the upper row says now, front to rear."""
    angles = shown.here.angles
    slopes = [angles.output_slope_deg, angles.pinion_slope_deg]
    first, last = slopes[::-1] if shown.ahead else slopes
    said = [f"{joint.operating_deg:.1f}°" for joint in shown.here.joints if joint.operating_deg is not None]
    ends = ["" if one is None else leaning(one, down="", up="").split(" ")[0] for one in (first, last)]
    return [one for one in (ends[0], *said, ends[1]) if one]


def stations(shown: Subject, made: Drawing) -> list[float]:
    """Where on the page the joints lie."""
    assert made.zones is not None
    return [made.zones.side.x(x) for x, _ in shown.side_joints]


@EVERY
def test_nothing_is_dropped_from_the_upper_row(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        row = [one for one in written(made) if one.pt in {BIG_PT, SMALL_PT} and one.text.endswith("°")]
        said = [one.text for one in sorted(row, key=lambda one: one.x)]
        for wanted in numbers_wanted(shown):
            assert wanted in said
            said.remove(wanted)
        assert len(said) == len([one for one in written(made) if one.text == " → "])  # what is to be set


@EVERY
def test_every_number_is_nearest_to_its_own_joint(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        at = stations(shown, made)
        names = [f"{one}_joint" for one in shown.joint_names]
        led = {leader.key: leader for leader in made.leaders}
        texts = {one.text: one for one in written(made) if one.bold}
        for place, key in enumerate(names):
            leader = led[key]
            assert leader.at[0] == pytest.approx(at[place], abs=0.01)
            title = texts[key.replace("_", " ")]
            number = next(bounds for bounds, text in made.words if text == title.text)
            middle = (number[0] + number[2]) / 2.0
            away = [abs(middle - x) for x in at]
            assert away[place] == min(away), f"{key} stands at {middle:.0f}, joints at {at}"
            assert leader.points[0][0] == pytest.approx(middle)


@EVERY
def test_output_and_pinion_are_led_to_their_own_lines(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        assert made.zones is not None
        view = made.zones.side
        for leader in made.leaders:
            if leader.key not in {"output", "pinion"}:
                continue
            joint = shown.output if leader.key == "output" else shown.nose
            inward = shown.nose if leader.key == "output" else shown.output
            x, _ = view.mm(leader.at)
            assert (x - joint[0]) * (inward[0] - joint[0]) < 0.0, "beyond its joint, away from the shaft"
        assert {"output", "pinion"} <= {leader.key for leader in made.leaders}


@EVERY
def test_no_word_lies_on_a_word_or_off_the_page(name: str, size: tuple[int, int]) -> None:
    for _, made in pages(name, size):
        for bounds, text in made.words:
            assert bounds[0] >= 0.0, text
            assert bounds[1] >= 0.0, text
            assert bounds[2] <= made.width, text
            assert bounds[3] <= made.height + 1.0, text
        for (one, first), (two, second) in pairs(made.words):
            over = box(one, 0.5).intersection(box(two, 0.5)).area
            assert over == 0.0, f"{first!r} lies on {second!r}"


@pytest.mark.parametrize("wide", range(640, 801, 10))
@pytest.mark.parametrize("name", ["ranch_truck_swap", "long_van_two_piece"])
def test_two_names_on_one_line_are_not_read_as_one(name: str, wide: int) -> None:
    for state in STATES:
        shown = subject(name, state)
        assert shown is not None
        made = drawing(shown, (wide, 490), Style())
        assert made.zones is not None
        view = box(made.zones.side.box)
        names = [one for one in made.words if view.contains(box(one[0])) and one[1][0].isalpha()]
        for (one, first), (two, second) in pairs(names):
            if min(one[3], two[3]) - max(one[1], two[1]) > 2.0:
                assert max(one[0], two[0]) - min(one[2], two[2]) >= 12.0, f"{first!r} runs into {second!r}"


@pytest.mark.parametrize("size", [(654, 440), (678, 455), (678, 495), (794, 400)])
@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft"])
def test_on_a_low_screen_the_row_says_more_than_marks(name: str, size: tuple[int, int]) -> None:
    made = page(name, size)
    assert made is not None
    assert made.form != FORMS[-1]


@EVERY
def test_no_word_lies_on_the_shaft_or_a_leader(name: str, size: tuple[int, int]) -> None:
    for _, made in pages(name, size):
        bodies = shapely.union_all([shapely.Polygon(one) for one in made.bodies])
        leaders = [(one.key, line(one.points)) for one in (*made.leaders, *made.lower)]
        for bounds, text in made.words:
            assert not bodies.intersects(box(bounds, 0.5)), f"{text!r} lies on the shaft"
            for key, one in leaders:
                assert not one.intersects(box(bounds, 0.5)), f"{text!r} lies on the leader of {key}"


@EVERY
def test_no_leader_crosses_another(name: str, size: tuple[int, int]) -> None:
    for _, made in pages(name, size):
        for one, two in pairs((*made.leaders, *made.lower)):
            assert not line(one.points).intersects(line(two.points)), f"{one.key} crosses {two.key}"


def on_shaft(shown: Subject, made: Drawing) -> tuple[int, float] | None:
    """Which section the shaft's cell points at, and where along it as a share; None without such a cell."""
    at = next((one.at for one in made.lower if one.key == "shaft"), None)
    if at is None:
        return None
    joints = stations(shown, made)
    place = next(place for place in range(len(joints) - 1) if joints[place] <= at[0] <= joints[place + 1])
    return place, (at[0] - joints[place]) / (joints[place + 1] - joints[place])


@EVERY
def test_the_shafts_cell_points_at_the_same_place_over_the_travel(name: str, size: tuple[int, int]) -> None:
    found = [on_shaft(shown, made) for shown, made in pages(name, size)]
    known = [one for one in found if one is not None]
    assert len({section for section, _ in known}) <= 1
    shares = [share for _, share in known]
    assert not shares or max(shares) - min(shares) < 0.15, shares


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("name", "changes", "section", "low", "high"),
    [
        # The slip is at the gearbox end of the section beside the axle; its sleeve and boot take less than half of it.
        ("front_axle_lift", {}, 0, 0.5, 1.0),
        ("long_van_two_piece", {"shaft__slip__engaged_mm": 12.0}, 1, 0.0, 0.5),
        ("long_van_two_piece", {"shaft__front_tube__wall_mm": 1.5}, 0, 0.0, 1.0),
        ("long_van_two_piece", {"shaft__rear_tube__wall_mm": 1.5}, 1, 0.0, 1.0),
    ],
)
def test_the_shafts_cell_points_at_its_slip_or_at_the_tube_that_is_worst(
    name: str, changes: dict[str, float], section: int, low: float, high: float, size: tuple[int, int]
) -> None:
    shown = subject_of(changed(name, **changes))
    assert shown is not None
    found = on_shaft(shown, drawing(shown, size, Style()))
    assert found is not None
    assert found[0] == section
    assert low <= found[1] <= high


@EVERY
def test_the_axles_cell_points_at_the_housing_and_not_at_a_bush_before_it(name: str, size: tuple[int, int]) -> None:
    """A bush of 30 mm radius about the lower link's end lies before the housing's lower edge."""
    for shown, made in pages(name, size):
        assert made.zones is not None
        view = made.zones.side
        for leader in made.lower:
            for _, (x, z) in shown.picture.links_mm:
                if leader.key == "axle" and shown.axle_centre is not None and z < shown.axle_centre[1]:
                    assert abs(leader.at[0] - view.x(x)) > 30.0 * view.scale


def part_way(name: str, size: tuple[int, int]) -> Iterator[Drawing]:
    """A sample drawn at some places between the ends of its travel."""
    build, ride = sample(name), subject(name)
    assert ride is not None
    if ride.whole.travel is None:
        return
    for share in (0.2, 0.4, 0.6, 0.8):
        low, high = ride.whole.travel.axle_mm[0], ride.whole.travel.axle_mm[-1]
        travel = low + share * (high - low)
        here = Work(build).posed(ride.whole, travel)
        if here is not None:
            yield drawing(Subject(build, ride.whole, here, travel), size, Style())


def with_ends(name: str, size: tuple[int, int]) -> Iterator[Drawing]:
    """A sample drawn in every state with both ends of its travel outlined faintly."""
    both = [one.here for one in (subject(name, "droop"), subject(name, "bump")) if one is not None]
    for state in STATES:
        shown = subject(name, state)
        if shown is not None and both:
            yield drawing(replace(shown, ends=tuple(both)), size, Style())


@EVERY
def test_words_among_the_parts_stand_clear_of_lines(name: str, size: tuple[int, int]) -> None:
    """Of names and of what the dimension line says; a line that carries a meaning is one of 3 : 1 or more."""
    for made in (*(one for _, one in pages(name, size)), *part_way(name, size), *with_ends(name, size)):
        assert made.zones is not None
        view, whole = box(made.zones.side.box), (0.0, 0.0, made.width, made.height)
        among = [(bounds, text) for bounds, text in made.words if view.contains(box(bounds))]
        strong = [
            line((*one.points, one.points[0]) if one.closed else one.points).intersection(box(layer.box or whole))
            for layer in made.layers for one in layer.items
            if isinstance(one, Shape) and one.stroke is not None and contrast(one.stroke.colour, LIGHT.paper) >= 3.0
        ]  # fmt: skip
        strong += [
            shapely.Point(one.centre).buffer(one.radius).exterior.intersection(view)
            for one in discs(made) if one.stroke is not None and one.stroke.dash
        ]  # fmt: skip
        for bounds, text in among:
            assert not any(one.intersects(box(bounds, 1.0)) for one in strong), f"{text!r} lies on a line"


@EVERY
def test_the_smallest_words_are_nine_points(name: str, size: tuple[int, int]) -> None:
    for _, made in pages(name, size):
        assert min(one.pt for one in written(made)) >= 9.0


@EVERY
def test_every_finding_is_told_with_its_number(name: str, size: tuple[int, int]) -> None:
    """Worst first, as in the list: each number once, as a heading or among "also"."""
    for shown, made in pages(name, size):
        wrong = [one for one in shown.whole.findings if one.verdict in {"hold", "caution"}]
        said = " ".join(text for _, text in made.words).replace(",", " ").split()
        for number in range(1, len(wrong) + 1):
            assert str(number) in said


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SAMPLES)
def test_the_form_settled_at_ride_height_fits_and_is_kept(name: str, size: tuple[int, int]) -> None:
    ride = page(name, size)
    assert ride is not None
    for state in STATES:
        made = page(name, size, state)
        if made is not None:
            assert made.form == ride.form


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SAMPLES)
def test_scale_and_zones_stay_over_the_travel(name: str, size: tuple[int, int]) -> None:
    ride = page(name, size)
    assert ride is not None
    for state in STATES:
        made = page(name, size, state)
        if made is not None:
            assert made.zones == ride.zones


@pytest.mark.parametrize("name", SAMPLES)
def test_drawn_twice_is_equal(name: str) -> None:
    shown = subject(name)
    assert shown is not None
    assert drawing(shown, (860, 560), Style()) == drawing(shown, (860, 560), Style())


def test_the_theme_changes_no_place() -> None:
    shown = subject("ranch_truck_swap")
    assert shown is not None
    light, dark = (drawing(shown, (860, 560), Style(theme)) for theme in (LIGHT, DARK))
    assert (light.words, light.leaders, light.targets) == (dark.words, dark.leaders, dark.targets)


@pytest.mark.parametrize("name", [name for name in SAMPLES if name != "three_angles_and_a_length"])
def test_on_a_large_page_the_rail_the_output_and_the_links_have_their_names(name: str) -> None:
    """What stands left out there is the powertrain ahead of the page's edge, no part beside the shaft."""
    for size in ((1240, 700), (1500, 820)):
        made = page(name, size)
        assert made is not None
        texts = {text for _, text in made.words}
        assert any(text.startswith("frame rail, ") for text in texts)
        # Where edge, mount and leader leave a transfer case no room, no name is better than one beside another part.
        assert texts & {"gearbox", "transfer case"} or "transfer case" in made.left_out
        shown = subject(name, size)
        assert shown is not None
        lines = {one.name for one in shown.build.flexible_lines}
        yields = {"leaf spring", "block", "shackle"} | lines  # they stand among leaders
        assert set(made.left_out) <= {
            "engine", "bell housing", "gearbox", "transfer case", "mount", "cab floor", "crossmember", "axle cover",
        } | yields  # fmt: skip


@EVERY
def test_no_finding_is_left_to_a_number_where_the_row_has_room_for_it(name: str, size: tuple[int, int]) -> None:
    """Marks and "also 2, 5" stand for findings only where two lines more for the narrowest of them would not fit."""
    shown, made = subject(name), page(name, size)
    assert shown is not None
    assert made is not None
    wide = size[0] - 24.0
    row = FlagsRow(shown, 1.0, made.form, wide, "")
    assert row.total <= wide
    for flag in row.flags:
        told = sum(
            run.kind == "mark" and line[-1].kind != "gap" for column in flag.columns for line in column for run in line
        )
        if made.form == "marks" or flag.key == NOWHERE or told >= len(flag.findings):
            continue
        columns, _ = row._filled(flag.findings, told + 1 if told else 1)
        assert row.total - flag.width + row._width(columns) > wide, flag.key


@EVERY
def test_no_words_of_the_rows_are_cut_off(name: str, size: tuple[int, int]) -> None:
    for _, made in pages(name, size):
        assert not [text for _, text in made.words if text.endswith("…") and size[0] > 700]


def test_spring_shackle_and_block_are_named_where_there_is_room() -> None:
    for name, size, wanted in (
        ("front_axle_lift", (1240, 700), {"leaf spring", "shackle"}),
        ("lifted_short_shaft", (1240, 700), {"leaf spring", "block"}),
    ):
        made = page(name, size)
        assert made is not None
        assert wanted <= {text for _, text in made.words}


@EVERY
@pytest.mark.parametrize("form", FORMS)
def test_a_form_kept_from_another_build_still_fits_into_the_width(name: str, size: tuple[int, int], form: str) -> None:
    """Under a moving hand the form stands still while findings come and go."""
    shown = subject(name)
    assert shown is not None
    made = drawing(shown, size, Style(), form=form)
    assert made.form == form
    for bounds, text in made.words:
        assert bounds[0] >= 0.0, text
        assert bounds[2] <= made.width, text


@EVERY
def test_the_same_flags_in_another_form_are_as_made_in_it(name: str, size: tuple[int, int]) -> None:
    shown = subject(name)
    assert shown is not None
    first = FlagsRow(shown, 1.0, FORMS[0], size[0] - 24.0, "the rear tyre radius")
    for form in FORMS:
        anew = FlagsRow(shown, 1.0, form, size[0] - 24.0, "the rear tyre radius")
        assert first.in_form(form).flags == anew.flags
        assert first.form == FORMS[0]


def test_a_line_meets_a_box_where_shapely_has_it_so() -> None:
    draw = random.Random(20261129)
    for _ in range(2000):
        corners = [(draw.uniform(-9.0, 9.0), draw.uniform(-9.0, 9.0)) for _ in range(draw.randint(2, 5))]
        left, top = draw.uniform(-9.0, 9.0), draw.uniform(-9.0, 9.0)
        box = (left, top, left + draw.uniform(0.0, 6.0), top + draw.uniform(0.0, 6.0))
        assert meets(corners, box) == shapely.LineString(corners).intersects(shapely.box(*box))
