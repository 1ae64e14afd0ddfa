"""A number reads the same wherever it is shown: one rounding, in one place, in the units that were chosen."""

import ast
from math import nextafter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.board import Board
from app.drawing.drawing import Style, drawing
from app.drawing.fonts import application
from app.drawing.numbers import cells_of
from app.drawing.palette import LIGHT
from app.drawing.subject import Subject
from app.drawing.wording import place_words
from app.setpoints import set_points
from app.units import degrees, leaning, show
from app.window.canvas.outline import OutlineTool
from geometry.document import edited
from geometry.document.vehicle import Display
from geometry.words.picture import Floor
from geometry.words.solve import solve
from geometry.words.wording import inches, number
from tests.app.drawing.drawn import SAMPLES, sample

application()
APP = Path(__file__).parent.parent.parent / "app"
ELSEWHERE = {"units.py", "picture_files.py", "amounts.py"}
"""Where decimals are asked for: units, coordinates of a picture's file, and quantities without a unit of ours."""
SIXTEENTHS = Display(inches="sixteenths")


def test_nobody_but_the_units_words_a_number_with_decimals() -> None:
    found = []
    for path in APP.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            spec = node.format_spec if isinstance(node, ast.FormattedValue) else None
            parts = spec.values if isinstance(spec, ast.JoinedStr) else []
            asks = any(isinstance(one, ast.Constant) and str(one.value).endswith("f") for one in parts)
            if asks and path.name not in ELSEWHERE:
                found.append(f"{path.relative_to(APP)}:{node.lineno}")
    assert not found


@given(st.integers(-9_999, 9_999), st.integers(-40, 40))
def test_a_half_but_for_its_last_bits_rounds_as_the_sentences_round_it(twentieths: int, bits: int) -> None:
    """One and the same angle, worked out in two ways: 19.65 and 19.649999999999999 both read 19.7."""
    value = (2 * twentieths + 1) / 20.0
    for _ in range(abs(bits)):
        value = nextafter(value, 1e9 if bits > 0 else -1e9)
    assert degrees(value) == f"{number(value, 1)}°"
    assert degrees(abs(value)) == leaning(value, down="", up="").split(" ")[0]
    for display in (Display(), SIXTEENTHS):
        assert show(value, "mm", display) == inches(value, display)


def test_what_rounds_to_nought_and_nothing_else_is_level() -> None:
    for slope in (0.05, nextafter(0.05, 0.0), nextafter(0.05, 1.0)):
        assert leaning(slope, down="down", up="up") == "0.1° down"
    assert leaning(0.0499, down="down", up="up") == "0.0° level"


def fraction(text: str) -> bool:
    return "." not in text


@pytest.mark.parametrize("name", SAMPLES)
def test_of_sixteenths_every_length_of_the_drawing_is_one(name: str) -> None:
    build = edited(sample(name), {"display.length": "inch", "display.inches": "sixteenths"})
    whole = solve(build)
    made = drawing(Subject(build, whole, whole), (1240, 700), Style())
    length = whole.shaft.length_mm
    assert length is not None
    words = [text for _, text in made.words]
    assert show(length, "mm", build.display) in words
    assert all(fraction(text) for text in words if text.endswith(" in") and not text.startswith("0"))


def test_of_sixteenths_the_travel_and_the_outline_are_so_too() -> None:
    for travel in (-90.0, 25.4, 44.45):
        assert fraction(place_words(travel, SIXTEENTHS))
    tool = OutlineTool(SIXTEENTHS, Floor(0.0, 0.0))
    tool.near = (1270.0, 609.6)
    assert tool.words() == "back 50 in, up 24 in"


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_not_to_be_set_otherwise_is_in_the_set_points_as_it_is_drawn(name: str) -> None:
    build = edited(sample(name), {"plan": None})
    whole = solve(build)
    shown = {text.strip() for _, text in drawing(Subject(build, whole, whole), (1240, 700), Style()).words}
    rows = {one.label: one for one in set_points(build, whole)}
    for row in (rows["Output slope"], rows["Pinion slope"], rows.get("Joint to joint") or rows["Rear section"]):
        assert row.now or row.value in shown, row


PLANS: dict[str, dict[str, object]] = {
    "as it is": {},
    "two inches of spring": {"plan.rear_lift_mm": 50.8, "plan.rear_lift_by": "spring"},
    "an inch lower": {"plan.rear_lift_mm": -25.4, "plan.rear_lift_by": "spring"},
    "front alone": {"plan.rear_lift_mm": None, "plan.front_lift_mm": 50.8},
    "a wedge": {"plan.axle_shim_deg": 1.0},
}


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("name", SAMPLES)
def test_under_any_plan_the_lines_are_in_the_set_points_as_they_are_drawn(name: str, plan: str) -> None:
    """Drawn 8.9°, it must not read 9.0° to set; drawn 2.4° → 3.4° and marked to set, it must not stay at 3.2°."""
    build = edited(sample(name), PLANS[plan])
    whole = solve(build)
    cells = {one.name: one for one in cells_of(Board(LIGHT), Subject(build, whole, whole))}
    rows = {one.label: one for one in set_points(build, whole)}
    for name_of_line in ("output", "pinion"):
        row, cell = rows[f"{name_of_line.capitalize()} slope"], cells.get(name_of_line)
        if cell is None:  # where a lift takes it is not known: then it has no number on either
            assert not row.value
            continue
        assert row.value == cell.runs[-1][0]  # the one that is to be set, where the drawing has two
        assert row.changes or len(cell.runs) == 1
