"""Hoses, cables and wires in the form, the drawing, the set-points, the report and on the card."""

import dataclasses

import pytest

from app.drawing.drawing import drawing
from app.drawing.items import Shape
from app.drawing.palette import LIGHT
from app.drawing.subject import Subject
from app.measuring.sections import contents, flat, section_of
from app.measuring.walk import lines_of
from app.report import report_text
from app.setpoints import set_points
from geometry import edited, solve
from tests.app.sheets import sample

LINE = {"name": "rear hose", "frame_point_mm": (2900.0, -60.0, 650.0), "axle_point_mm": (3200.0, -90.0, 470.0)}


def build_with(free_mm, **more):
    return sample(flexible_lines=({**LINE, "free_length_mm": free_mm, **more},))


def row_of(build):
    return next(one for one in set_points(build, solve(build)) if one.label.startswith(("Rear hose", "Brake hose")))


def test_a_line_that_is_long_enough_stays_in_the_set_points():
    row = row_of(build_with(450.0))
    assert (row.value, row.now) == ("17.72 in", "")


@pytest.mark.parametrize(("free_mm", "now"), [(400.0, "15.75 in"), (None, "not measured")])
def test_a_line_that_is_short_is_to_be_bought(free_mm, now):
    row = row_of(build_with(free_mm))
    assert (row.value, row.note, row.now) == ("17.00 in", "(431.8 mm)", now)


def test_a_line_that_is_not_known_says_what_is_wanted():
    row = row_of(build_with(400.0, frame_point_mm=None))
    assert row.value == ""
    assert row.wants == "measure: line's fixed end"


def test_a_long_name_is_called_by_what_it_is():
    assert row_of(build_with(400.0, name="r" * 60)).label == "Brake hose 1"


def test_the_report_tells_the_length_to_buy():
    build = build_with(400.0)
    text = report_text(build, solve(build), "x.json")
    assert "Rear hose" in text
    assert "17.00 in" in text


@pytest.mark.parametrize(("free_mm", "verdict"), [(300.0, "hold"), (410.0, "caution"), (500.0, "clear")])
def test_a_line_is_drawn_in_the_colour_of_its_verdict(free_mm, verdict, qapp):
    assert qapp
    build = build_with(free_mm)
    whole = solve(build)
    assert [one.verdict for one in whole.findings if one.part == "flexible_lines"] == [verdict]
    page = drawing(Subject(build, whole, whole), (1240.0, 700.0))
    items = [item for layer in page.layers for item in layer.items if isinstance(item, Shape)]
    hose = [item for item in items if item.stroke is not None and not item.closed and item.stroke.width > 2.0]
    colours = {LIGHT.colour("hold"), LIGHT.colour("caution")} & {item.stroke.colour for item in hose}
    assert (LIGHT.colour(verdict) in colours) == (verdict != "clear")
    assert any(one.part == "flexible_lines" for one in page.targets)


def test_the_form_and_the_card_have_a_line_for_each_entry():
    build = build_with(400.0)
    paths = {one.path for one in flat(contents(build, "flexible_lines"))}
    assert paths == {f"flexible_lines.0.{one}" for one in (
        "name", "type", "frame_point_mm", "axle_point_mm", "free_length_mm", "slack_mm")}  # fmt: skip
    on_card = {path for line in lines_of(build) for path in line.paths if path.startswith("flexible")}
    assert on_card == paths - {f"flexible_lines.0.{one}" for one in ("name", "type", "slack_mm")}
    assert section_of(build, "flexible_lines.0.free_length_mm") == (
        "flexible_lines", "flexible_lines.0.free_length_mm",
    )  # fmt: skip
    links = edited(build, {"suspension": {"kind": "links"}})
    assert "axle.perch_spacing_mm" in {path for line in lines_of(links) for path in line.paths}


def test_the_solution_tells_each_line_once():
    build = build_with(400.0)
    line = solve(build).lines[0]
    assert set(dataclasses.asdict(line)) == {"apart_mm", "where", "slack_mm", "buy_mm"}
