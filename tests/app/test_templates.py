"""Templates as they leave the program, measured back in the files: PDF coordinates and DXF entities."""

import io
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import dist
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from app.commands import main
from app.complaints import title_of
from app.drawing.fonts import width
from app.drawing.items import Page, Shape, Words
from app.papers.templates import BARS_MM, dxf_text, template_pages
from app.sheet.paper import PaperName
from geometry import Build, solve
from geometry.words.templates import templates_of
from geometry.words.wording import small
from tests.geometry.test_templates import CLAMP, RANCH, VAN, WAGON, edited

SAMPLES = Path(__file__).parents[2] / "sample_builds"
MM = 25.4 / 72.0
PX = 96.0 / 25.4
"""Pixels of a page to the millimetre."""
Matrix = tuple[float, float, float, float, float, float]


def times(one: Matrix, two: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = two
    return a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m


def lines_of(page: Any) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Every straight line of a page with its ends in mm on the paper."""
    matrix, kept, at = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), [], (0.0, 0.0)
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        values = [float(one) for one in operands if isinstance(one, (int, float)) or hasattr(one, "as_numeric")]
        if operator == b"q":
            kept.append(matrix)
        elif operator == b"Q":
            matrix = kept.pop()
        elif operator == b"cm":
            matrix = times(tuple(values), matrix)  # type: ignore[arg-type]
        elif operator in {b"m", b"l"}:
            x, y = values
            here = ((matrix[0] * x + matrix[2] * y + matrix[4]) * MM, (matrix[1] * x + matrix[3] * y + matrix[5]) * MM)
            if operator == b"l":
                yield at, here
            at = here


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_bars_of_a_pdf_are_as_long_as_they_say(tmp_path: Path, paper: str) -> None:
    target = tmp_path / "templates.pdf"
    assert main(["template", str(SAMPLES / "ranch_truck_swap.json"), "-o", str(target), "--paper", paper]) == 0
    pages = PdfReader(target).pages
    assert len(pages) == 3
    for page in pages:
        found = [dist(one, two) for one, two in lines_of(page)]
        for size, _ in BARS_MM:
            assert any(abs(length - size) < 0.05 for length in found), (size, sorted(found)[-8:])


def test_the_cards_edge_in_the_pdf_is_as_long_as_the_template(tmp_path: Path) -> None:
    target = tmp_path / "templates.pdf"
    assert main(["template", str(SAMPLES / "ranch_truck_swap.json"), "-o", str(target)]) == 0
    found = [dist(one, two) for one, two in lines_of(PdfReader(target).pages[0])]
    card = templates_of(RANCH, solve(RANCH))[0]
    for one, two in pairwise((*card.outline, card.outline[0])):
        assert any(abs(length - dist(one[:2], two[:2])) < 0.05 for length in found)


@pytest.mark.parametrize("build", [edited(RANCH, CLAMP), edited(VAN, CLAMP)], ids=["ranch", "van"])
def test_the_dxf_reads_back_clean_and_true(build: Build) -> None:
    document = ezdxf.read(io.StringIO(dxf_text(build, solve(build))))  # type: ignore[attr-defined]
    assert not document.audit().has_errors
    assert document.header["$INSUNITS"] == 4, "millimetres"
    space = document.modelspace()
    drawn = [one for one in templates_of(build, solve(build)) if not one.wants]
    outlines = list(space.query("LWPOLYLINE"))
    assert len(outlines) == len(drawn)
    for outline, template in zip(outlines, drawn, strict=True):
        assert outline.closed
        corners = [(x, y, bulge) for x, y, bulge in outline.get_points("xyb")]
        dx, dy = (corners[0][axis] - template.outline[0][axis] for axis in (0, 1))
        for here, there in zip(corners, template.outline, strict=True):
            assert (here[0] - dx, here[1] - dy, here[2]) == pytest.approx(there, abs=1e-9)
    circles = {round(one.dxf.radius * 2.0, 6) for one in space.query("CIRCLE")}
    assert circles == {round(hole.diameter_mm, 6) for one in drawn for hole in one.holes if hole.diameter_mm}
    said = [one.dxf.text for one in space.query("TEXT")]
    assert {words for template in drawn for _, _, words in template.labels} <= set(said)
    bars = {round(dist(one.dxf.start, one.dxf.end), 6) for one in space.query("LINE")}
    assert {size for size, _ in BARS_MM} <= bars
    boxes = [
        (min(x for x, _, _ in one.get_points("xyb")), max(x for x, _, _ in one.get_points("xyb"))) for one in outlines
    ]
    assert all(one[1] < two[0] for one, two in pairwise(boxes)), "one beside the other"


def test_a_template_that_lacks_something_says_what(tmp_path: Path) -> None:
    build = edited(RANCH, {"clamp": None})
    path, target = tmp_path / "build.json", tmp_path / "out.pdf"
    path.write_text(build.model_dump_json(), encoding="utf-8")
    assert main(["template", str(path), "-o", str(target)]) == 0
    words = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(target).pages)
    assert "Cannot be drawn yet. Measure or enter: perch height" in words
    assert "Measure or enter: spring width, U-bolt diameter" in words


def test_links_take_no_perches_and_a_large_one_is_left_to_dxf() -> None:
    [page] = template_pages(WAGON, solve(WAGON))
    said = " ".join(item.text for layer in page.layers for item in layer.items if hasattr(item, "text"))
    assert "Links take no perches" in said
    wide = edited(VAN, {**CLAMP, "shaft.bearing_bolts_mm": 400.0})
    assert "larger than this paper: have it as DXF" in said_on(template_pages(wide, solve(wide)))


def said_on(pages: tuple[Page, ...]) -> str:
    """All words of some pages."""
    return " ".join(
        item.text for page in pages for layer in page.layers for item in layer.items if hasattr(item, "text")
    )


WIDE = {"axle.tube_diameter_mm": 118.0, "clamp.spring_width_mm": 60.0, "clamp.rod_mm": 15.0}


@pytest.mark.parametrize(("entries", "key", "paper", "way"), [
    # A plate of 199 by 141 mm is wider than an A4's frame of 194 mm and fits turned; a letter's is 200 mm wide.
    (WIDE, "spring_plate", "a4", "turned"),
    (WIDE, "spring_plate", "letter", "upright"),
    # A strip of 244 mm is longer than the room under the words, which go beside it then.
    ({"shaft.bearing_bolts_mm": 194.0}, "bearing", "a4", "upright"),
    ({"shaft.bearing_bolts_mm": 190.0}, "bearing", "letter", "upright"),
    ({"shaft.bearing_bolts_mm": 120.0}, "bearing", "a4", "upright"),
])  # fmt: skip
def test_what_has_room_on_the_paper_in_any_way_is_drawn_at_true_scale(
    entries: dict[str, object], key: str, paper: PaperName, way: str
) -> None:
    """Every side of the outline is measured back on the page, and lies on the paper, clear of all words and bars."""
    build = edited(VAN, CLAMP | entries)
    every = templates_of(build, solve(build))
    place = next(number for number, one in enumerate(every) if one.key == key)
    template = every[place] if way == "upright" else every[place].turned()
    pages = template_pages(build, solve(build), paper)
    assert "larger than this paper" not in said_on((pages[place],))
    wide, high = pages[place].width / PX, pages[place].height / PX
    shapes = [item for layer in pages[place].layers for item in layer.items if isinstance(item, Shape)]
    ends = [(x / PX, y / PX) for x, y in max(shapes, key=lambda one: len(one.points) and spread(one.points)).points]
    for one, two in zip(template.outline, (*template.outline[1:], template.outline[0]), strict=True):
        assert any(
            dist(here, there) == pytest.approx(dist(one[:2], two[:2]), abs=1e-6)
            and abs(there[0] - here[0] - two[0] + one[0]) < 1e-6
            for here, there in pairwise((*ends, ends[0]))
        )
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    assert min(xs) > 6.0
    assert max(xs) < wide - 6.0
    assert min(ys) > 6.0
    assert max(ys) < high - 15.0
    if way == "turned" and key == "spring_plate":
        assert "front at the top" in said_on((pages[place],))
    for layer in pages[place].layers:
        for item in layer.items:
            if isinstance(item, Words) and item.text not in {words for _, _, words in template.labels}:
                aside = item.x / PX > max(xs) or (item.x + width(item.text, item.pt, bold=item.bold)) / PX < min(xs)
                assert aside or item.base / PX < min(ys) or item.base / PX - 2.0 > max(ys), item.text


def spread(points: Sequence[tuple[float, float]]) -> float:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (max(xs) - min(xs)) * (max(ys) - min(ys))


def test_a_dxf_says_what_it_does_not_draw() -> None:
    for build in (edited(RANCH, {"clamp": None}), edited(VAN, {"shaft.bearing_bolts_mm": None}), Build()):
        document = ezdxf.read(io.StringIO(dxf_text(build, solve(build))))  # type: ignore[attr-defined]
        said = [one.dxf.text for one in document.modelspace().query("TEXT")]
        wanting = [one for one in templates_of(build, solve(build)) if one.wants]
        assert wanting
        for template in wanting:
            [line] = [text for text in said if text.startswith(f"{template.title}. Cannot be drawn yet.")]
            assert all(small(title_of(path)) in line for path in template.wants)
    document = ezdxf.read(io.StringIO(dxf_text(WAGON, solve(WAGON))))  # type: ignore[attr-defined]
    assert any("Links take no perches" in one.dxf.text for one in document.modelspace().query("TEXT"))


def test_another_ending_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["template", str(SAMPLES / "ranch_truck_swap.json"), "-o", str(tmp_path / "a.svg")]) == 2
    assert "must end in .pdf or .dxf" in capsys.readouterr().err
