"""The sheet's own PDF writer: its fonts held against fontTools, its operators against pypdf, its picture against Agg.

fontTools and pypdf are general libraries that share no code with the writer; poppler, where it is installed, draws the
page for the comparison with matplotlib's own Agg renderer.
"""

import io
import shutil
import subprocess
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen, RecordingPen
from fontTools.ttLib import TTFont
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle, PathPatch, Rectangle
from matplotlib.path import Path as Outline
from pypdf import PdfReader
from pypdf.generic import ContentStream

from app.lettering import font_file
from app.sheet.figure import build_figure, sheet_bytes
from app.sheet.flow import width_of
from app.sheet.pdf_file import one_page
from app.sheet.pdf_renderer import PdfRenderer
from app.sheet.true_type import TrueType, true_type
from geometry import Build, solve

DAY = date(2025, 3, 9)
RANCH = Path(__file__).parent.parent.parent / "sample_builds" / "ranch_truck_swap.json"
LETTERS = "AVé½→°²Ω fi−"
DPI = 144
POPPLER = shutil.which("pdftoppm")


def written(figure: Figure) -> bytes:
    figure.set_dpi(72.0)
    width, height = (float(size) for size in figure.bbox.size)
    renderer = PdfRenderer(width, height)
    figure.draw(renderer)
    return one_page(width, height, renderer.drawn, renderer.fonts, renderer.opacities, {"Title": "Ω"}, DAY)


def operators(content: bytes) -> list[tuple[bytes, list[float]]]:
    (page,) = PdfReader(io.BytesIO(content)).pages
    stream = ContentStream(page.get_contents(), None)
    flat = [(sign, [one for part in parts for one in (part if isinstance(part, list) else [part])])
            for parts, sign in stream.operations]  # fmt: skip
    return [(sign, [part for part in parts if isinstance(part, int | float)]) for sign, parts in flat]


def outline(font: TTFont, glyph: str) -> list[object]:
    pen = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[glyph].draw(pen)
    return pen.value


@pytest.mark.parametrize("bold", [False, True])
def test_font_that_is_cut_down_has_the_same_letters(bold: bool) -> None:
    file = font_file(bold=bold)
    whole, font = TTFont(file), TrueType(file)
    glyphs = [font.glyph(letter) for letter in LETTERS]
    content = font.cut_down(glyphs)
    assert len(content) < 120_000
    small = TTFont(io.BytesIO(content), checkChecksums=2)  # wrong sums are errors
    unit = whole["head"].unitsPerEm
    for letter, number in zip(LETTERS, glyphs, strict=True):
        name = whole.getBestCmap()[ord(letter)]
        assert whole.getGlyphID(name) == number
        same = small.getGlyphName(number)
        assert outline(small, same) == outline(whole, name)
        assert small["hmtx"][same] == whole["hmtx"][name]
        assert font.advance(letter) == pytest.approx(whole["hmtx"][name][0] / unit, abs=1e-12)
    other = RecordingPen()
    small.getGlyphSet()[small.getGlyphName(font.glyph("Q"))].draw(other)
    assert other.value == []  # what the page does not use is not in it
    assert small["maxp"].numGlyphs == whole["maxp"].numGlyphs


def test_letters_that_the_font_lacks_are_an_empty_box() -> None:
    font = true_type(font_file(bold=False))
    assert font.glyph("\u3042") == 0
    assert font.advance("\u3042") > 0.0


def test_words_read_back_whatever_their_letters(tmp_path: Path) -> None:
    figure = Figure(figsize=(6.0, 2.0))
    figure.text(0.1, 0.5, "fit 1° wedges → é½²Ω − office", fontsize=9)
    figure.text(0.1, 0.2, "(bold) \\ <text>", fontsize=12, fontweight="bold")
    reader = PdfReader(io.BytesIO(written(figure)), strict=True)
    text = reader.pages[0].extract_text()
    assert "fit 1° wedges → é½²Ω − office" in text
    assert "(bold) \\ <text>" in text
    assert reader.metadata is not None
    assert reader.metadata.title == "Ω"
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.date() == DAY


def test_widths_in_the_file_are_those_of_the_layout() -> None:
    figure = Figure(figsize=(6.0, 2.0))
    figure.text(0.1, 0.5, "Wave", fontsize=10)
    (page,) = PdfReader(io.BytesIO(written(figure))).pages
    font = page["/Resources"]["/Font"]["/F1"].get_object()  # type: ignore[index]
    first, widths = font["/DescendantFonts"][0].get_object()["/W"]
    assert first == 1
    assert sum(map(float, widths)) / 1000.0 * 10.0 == pytest.approx(width_of("Wave", 10.0), abs=1e-3)


def test_lines_curves_fills_and_clips_stand_in_the_page_as_they_are_in_the_figure() -> None:
    figure = Figure(figsize=(2.0, 1.0), facecolor="none")
    codes = [Outline.MOVETO, Outline.CURVE3, Outline.CURVE3, Outline.CLOSEPOLY]
    curve = Outline([(10, 20), (40, 80), (70, 20), (70, 20)], codes)
    patch = PathPatch(
        curve, transform=None, facecolor=(0.2, 0.4, 0.6, 0.5), edgecolor="black", linewidth=2.5, capstyle="round",
        joinstyle="bevel", linestyle=(1.0, (4.0, 2.0)),
    )  # fmt: skip
    figure.add_artist(patch)
    patch.set_clip_path(Rectangle((5, 6), 100, 50, transform=None))
    done = operators(written(figure))
    signs = [sign for sign, _ in done]
    at = dict(done)
    assert at[b"re"] == [5.0, 6.0, 100.0, 50.0]
    assert at[b"m"] == [10.0, 20.0]
    ends = np.array([at[b"m"], at[b"c"][0:2], at[b"c"][2:4], at[b"c"][4:6]])
    handles = curve.vertices[:3]
    for t in (0.0, 0.3, 0.5, 0.9, 1.0):  # Bernstein's polynomials, of third and of second degree
        cubic = np.array([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3]) @ ends
        assert cubic == pytest.approx(np.array([(1 - t) ** 2, 2 * t * (1 - t), t**2]) @ handles, abs=2e-3)
    assert at[b"rg"] == pytest.approx([0.2, 0.4, 0.6])
    assert at[b"RG"] == [0.0, 0.0, 0.0]
    assert at[b"w"] == [2.5]
    assert at[b"J"] == [1]
    assert at[b"d"] == [10.0, 5.0, 2.5]  # matplotlib's dashes are in widths of the line, these in points
    assert [sign for sign in signs if sign in {b"h", b"B", b"gs"}] == [b"gs", b"h", b"B"]
    assert signs.count(b"q") == signs.count(b"Q")
    (page,) = PdfReader(io.BytesIO(written(figure))).pages
    (state,) = page["/Resources"]["/ExtGState"].values()  # type: ignore[index]
    assert (float(state["/ca"]), float(state["/CA"])) == (0.5, 1.0)  # the line stays whole over its thin fill


def test_pictures_are_refused_and_mathematics_is_drawn_as_outlines() -> None:
    renderer = PdfRenderer(72.0, 72.0)
    with pytest.raises(NotImplementedError):
        renderer.draw_image(renderer.new_gc(), 0.0, 0.0, np.zeros((2, 2, 4), np.uint8))
    figure = Figure(figsize=(2.0, 1.0))
    figure.text(0.1, 0.4, r"$\alpha_1$", fontsize=24)
    signs = [sign for sign, _ in operators(written(figure))]
    assert b"Tj" not in signs
    assert signs.count(b"f") >= 2


def agg(figure: Figure, dpi: float) -> np.ndarray:
    figure.set_dpi(dpi)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    return np.asarray(canvas.buffer_rgba())[..., :3].mean(axis=2)


def blurred(picture: np.ndarray, cell: int) -> np.ndarray:
    """Mean grey of square cells: ink in the same places, whatever the edges of its letters are."""
    rows, columns = (size // cell for size in picture.shape)
    return picture[: rows * cell, : columns * cell].reshape(rows, cell, columns, cell).mean(axis=(1, 3))


def by_poppler(content: bytes, folder: Path) -> np.ndarray:
    assert POPPLER is not None
    (folder / "page.pdf").write_bytes(content)
    command = [POPPLER, "-r", str(DPI), "-gray", "-singlefile", str(folder / "page.pdf"), str(folder / "page")]
    done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=60)
    assert done.stderr == ""  # nor does it complain of anything in the file
    words = (folder / "page.pgm").read_bytes()
    _, size, _, pixels = words.split(b"\n", 3)
    width, height = map(int, size.split())
    return np.frombuffer(pixels, np.uint8).reshape(height, width).astype(float)


@pytest.mark.skipif(POPPLER is None, reason="poppler is not installed")
def test_page_looks_as_agg_draws_it(tmp_path: Path) -> None:
    build = Build.model_validate_json(RANCH.read_text(encoding="utf-8"))
    solution = solve(build)
    drawn = by_poppler(sheet_bytes(build, solution, printed_on=DAY), tmp_path)
    wanted = agg(build_figure(build, solution, "letter", printed_on=DAY), DPI)
    assert drawn.shape == wanted.shape
    cells, expected = blurred(drawn, 36), blurred(wanted, 36)
    assert np.abs(cells - expected).mean() < 3.0
    assert np.corrcoef(cells.ravel(), expected.ravel())[0, 1] > 0.98
    assert np.corrcoef(cells.ravel(), expected[::-1].ravel())[0, 1] < 0.9  # and a page upside down would be told


@pytest.mark.skipif(POPPLER is None, reason="poppler is not installed")
def test_shapes_look_as_agg_draws_them(tmp_path: Path) -> None:
    figure = Figure(figsize=(2.0, 2.0), facecolor="white")
    figure.add_artist(Circle((0.3, 0.7), 0.2, facecolor=(0.8, 0.1, 0.1, 0.5), edgecolor="black", linewidth=2.0))
    dashes = (2.0, (6.0, 3.0))
    figure.add_artist(Rectangle((0.55, 0.1), 0.4, 0.3, facecolor="none", edgecolor="black", linestyle=dashes))
    figure.add_artist(Rectangle((0.1, 0.1), 0.3, 0.2, facecolor="#8899AA", edgecolor="none", alpha=0.4))
    figure.text(0.5, 0.45, "MMM", rotation=45.0, rotation_mode="anchor", fontsize=20, fontfamily="DejaVu Sans")
    drawn, wanted = by_poppler(written(figure), tmp_path), agg(figure, DPI)
    assert np.abs(drawn - wanted).mean() < 2.5
    assert np.abs(255.0 - wanted).mean() > 15.0  # an empty page would not pass
