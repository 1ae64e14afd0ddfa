"""The drawing as SVG, PNG and PDF, with whatever a person calls things."""

from io import BytesIO
from xml.etree import ElementTree as ET

import pypdf
import pytest
from PySide6.QtGui import QImage

from app.drawing.drawing import Style, drawing
from app.drawing.palette import DARK
from app.drawing.picture_files import SIZE, pdf_bytes, picture_bytes, png_bytes, sketch, svg_text
from app.lettering import printable
from geometry import solve
from geometry.document import Build
from tests.app.drawing.drawn import SAMPLES, changed, draw, page, sample, subject

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = ["<b>&\"'</b>", "]]>", "a  b", "Ärmel – 高さ", "&amp;", "</text></svg>"]


def hostile(name: str) -> Build:
    """The ranch truck with two obstacles of a name, one in each view."""
    side = ((1900.0, 300.0), (2200.0, 300.0), (2200.0, 380.0), (1900.0, 380.0))
    top = ((1500.0, 250.0), (2700.0, 250.0), (2700.0, 330.0), (1500.0, 330.0))
    both = ({"name": name, "view": view, "outline_mm": outline} for view, outline in (("side", side), ("top", top)))
    return changed("ranch_truck_swap", obstacles=tuple(both))


@pytest.mark.parametrize("name", HOSTILE)
def test_svg_is_well_formed_whatever_things_are_called(name: str) -> None:
    build = hostile(name)
    made = draw(build, (1240, 700))
    told = [one.text for one in ET.fromstring(svg_text(made)).iter(f"{SVG}text")]  # noqa: S314
    assert printable(build.obstacles[0].name) in told


@pytest.mark.parametrize("name", SAMPLES)
def test_svg_holds_every_word_and_cuts_the_views_off(name: str) -> None:
    made = page(name, (860, 560))
    assert made is not None
    root = ET.fromstring(svg_text(made))  # noqa: S314
    assert (root.get("width"), root.get("height")) == ("860", "560")
    assert sorted(one.text or "" for one in root.iter(f"{SVG}text")) == sorted(text for _, text in made.words)
    cut = [layer for layer in made.layers if layer.box is not None]
    assert len(list(root.iter(f"{SVG}clipPath"))) == len(cut)
    ids = [one.get("id") for one in root.iter(f"{SVG}clipPath")]
    used = [one.get("clip-path") for one in root.iter(f"{SVG}g") if one.get("clip-path")]
    assert used == [f"url(#{one})" for one in ids]


def test_png_has_twice_the_pages_pixels_and_its_paper() -> None:
    shown = subject("ranch_truck_swap")
    assert shown is not None
    for theme in (Style().theme, DARK):
        image = QImage.fromData(png_bytes(drawing(shown, (860, 560), Style(theme))))
        assert (image.width(), image.height()) == (1720, 1120)
        assert image.pixelColor(3, 3).name().upper() == theme.paper
        assert len({image.pixelColor(x, 560).name() for x in range(0, 1720, 3)}) > 10


def test_pdf_has_a_page_for_each_drawing_with_words_as_words() -> None:
    some = [page(name, (860, 560)) for name in ("ranch_truck_swap", "front_axle_lift")]
    made = pdf_bytes([one for one in some if one is not None], "a title")
    read = pypdf.PdfReader(BytesIO(made))
    assert len(read.pages) == 2
    assert read.metadata is not None
    assert read.metadata.title == "a title"
    for sheet in read.pages:
        assert float(sheet.mediabox.width) == pytest.approx(860 * 0.75, abs=1.0)
        assert float(sheet.mediabox.height) == pytest.approx(560 * 0.75, abs=1.0)
        assert "/Font" in sheet["/Resources"]
        assert list(sheet.images) == []


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sketch_is_the_drawing_at_ride_height(name: str) -> None:
    build = sample(name)
    made, shown = sketch(build, solve(build)), subject(name)
    assert shown is not None
    assert made == drawing(shown, SIZE)


@pytest.mark.parametrize(("kind", "start"), [(".svg", b"<?xml"), (".png", b"\x89PNG"), (".pdf", b"%PDF")])
def test_each_kind_of_file_has_its_own_contents(kind: str, start: bytes) -> None:
    made = page("three_angles_and_a_length", (700, 430))
    assert made is not None
    assert picture_bytes(made, kind).startswith(start)


@pytest.mark.parametrize("kind", [".svg", ".png"])
def test_the_same_build_gives_the_same_file(kind: str) -> None:
    build = sample("ranch_truck_swap")
    one, other = (picture_bytes(sketch(build, solve(build)), kind) for _ in range(2))
    assert one == other


def test_words_of_a_pdf_can_be_selected() -> None:
    build = sample("ranch_truck_swap")
    made = sketch(build, solve(build))
    read = pypdf.PdfReader(BytesIO(picture_bytes(made, ".pdf"))).pages[0].extract_text()
    told = "".join(read.split())
    for _, words in made.words:
        assert "".join(words.split()) in told


def test_builds_of_little_or_nothing_make_files_too() -> None:
    hurry = sample("three_angles_and_a_length")
    assert "positions not measured" in picture_bytes(sketch(hurry, solve(hurry)), ".svg").decode()
    assert "The drawing begins with" in picture_bytes(sketch(Build(), solve(Build())), ".svg").decode()


def test_another_kind_is_refused_by_name() -> None:
    made = page("three_angles_and_a_length", (700, 430))
    assert made is not None
    with pytest.raises(ValueError, match=r"\.gif is no kind of picture; use \.svg, \.png or \.pdf"):
        picture_bytes(made, ".gif")
