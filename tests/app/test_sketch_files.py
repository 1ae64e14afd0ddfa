"""The drawing in files: words that can be selected, the same bytes again, and both views in a part of a sheet."""

import io
import re
from pathlib import Path

import pytest
from app.sketch.artists import Strokes
from app.sketch.figure import draw_sketch, measure, save_sketch, sketch_bytes
from app.sketch.palette import LIGHT
from app.sketch.scene import scene
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.image import imread
from pypdf import PdfReader

from geometry import Build, edited, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
BUILD = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
SOLUTION = solve(BUILD)


def test_words_of_an_svg_are_text() -> None:
    svg = sketch_bytes(BUILD, SOLUTION, "svg").decode()
    words = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    assert "output 4.6° tail down" in words
    assert any(re.fullmatch(r"\d+\.\d ± \d\.\d° at the front joint", text) for text in words)
    assert any(text.startswith("CAUTION ") and ", at most " in text for text in words)
    assert 'id="side-view"' in svg
    assert 'id="top-view"' in svg


def test_words_of_a_pdf_can_be_selected() -> None:
    text = PdfReader(io.BytesIO(sketch_bytes(BUILD, SOLUTION, "pdf"))).pages[0].extract_text()
    assert "output 4.6° tail down" in text
    assert "at the rear joint" in text


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_the_same_build_gives_the_same_file(tmp_path: Path, ending: str) -> None:
    for name in ("one", "other"):
        save_sketch(BUILD, SOLUTION, tmp_path / f"{name}.{ending}")
    assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"other.{ending}").read_bytes()


def test_an_unknown_ending_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"sketch\.doc: give the sketch's file a name that ends in"):
        save_sketch(BUILD, SOLUTION, tmp_path / "sketch.doc")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_paper_of_a_picture_is_the_themes(theme: str) -> None:
    picture = imread(io.BytesIO(sketch_bytes(BUILD, SOLUTION, "png", theme=theme)))  # type: ignore[arg-type]
    assert picture.shape[:2] == (1800, 2800)
    red = round(float(picture[2, 2, 0]) * 255)
    assert red == (0xFB if theme == "light" else 0x14)


def test_both_views_in_a_part_of_a_sheet_are_to_one_scale() -> None:
    figure = Figure(figsize=(8.5, 11.0))
    FigureCanvasAgg(figure)
    part = (0.08, 0.5, 0.84, 0.4)
    draw_sketch(figure, BUILD, SOLUTION, place=part, words=0.7, paper=False)
    figure.canvas.draw()
    scales = []
    for axes in figure.axes:
        box = axes.get_window_extent()
        (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
        scales += [box.width / (x1 - x0), box.height / (y1 - y0)]
        at = axes.get_position()
        assert at.x0 >= part[0]
        assert at.x1 <= part[0] + part[2]
        assert at.y0 >= part[1]
        assert at.y1 <= part[1] + part[3]
    assert len(scales) == 4
    assert scales == pytest.approx([scales[0]] * 4)
    side, top = figure.axes
    assert side.get_xlim() == top.get_xlim()


def test_measured_widths_are_those_of_the_drawn_words() -> None:
    figure = Figure(figsize=(6.0, 1.0), dpi=96)
    FigureCanvasAgg(figure)
    for bold, weight in ((False, "normal"), (True, "bold")):
        text = figure.text(0.1, 0.5, "pinion 3.9° nose up", family="DejaVu Sans", size=15.0, weight=weight)
        figure.canvas.draw()
        width = text.get_window_extent().width
        assert measure("pinion 3.9° nose up", 20.0, bold=bold) == pytest.approx(width, abs=3.0)


def test_artists_take_new_paths_in_place() -> None:
    figure = Figure()
    strokes = Strokes(figure, LIGHT)
    before = dict(strokes.patches)
    for i in range(50):
        moved = edited(BUILD, {"powertrain.slope_deg": 3.0 + 0.05 * i})
        strokes.show(scene(moved, solve(moved)).strokes)
    assert strokes.patches == before
    shown = [key for key, patch in strokes.patches.items() if patch.get_visible()]
    assert len(shown) <= 30


def test_hurried_and_empty_builds_make_files_too() -> None:
    hurry = edited(
        Build(), {"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.4, "readings.shaft_slope_deg": 10.8}
    )
    assert "positions not measured" in sketch_bytes(hurry, solve(hurry), "svg").decode()
    assert "measure next" in sketch_bytes(Build(), solve(Build()), "svg").decode()
