"""The build sheet as a file: read back with pypdf, a general library that shares nothing with the one that wrote it.

Paper sizes are those of ISO 216 (A4, 210 × 297 mm) and ANSI/ASME Y14.1 (A, 8.5 × 11 in), from memory.
"""

import io
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import StreamObject

from app.cautions import CAUTIONS
from app.drawing.picture_files import pdf_bytes
from app.sheet import PaperName, sheet_bytes
from app.sheet.findings import names_of
from geometry import Build, edited, solve
from tests.app.sheets import CASES, DAY, SAMPLES, case_of, sample, text_of, words_of

ROOT = Path(__file__).parent.parent.parent
POINTS_AN_INCH = 72.0
MM_AN_INCH = 25.4
HURRY = {
    "title": "Wagon, angles only",
    "powertrain.slope_deg": 4.2,
    "axle.pinion_slope_deg": 3.9,
    "readings.shaft_slope_deg": 10.5,
    "readings.shaft_length_mm": 1295.4,
}
PAPER_SIZES = {
    "letter": (8.5 * POINTS_AN_INCH, 11.0 * POINTS_AN_INCH),
    "a4": (210.0 / MM_AN_INCH * POINTS_AN_INCH, 297.0 / MM_AN_INCH * POINTS_AN_INCH),
}


@pytest.fixture(autouse=True)
def application(qapp: object) -> None:
    """Pages are painted by Qt."""
    assert qapp


def letters(text: str) -> str:
    """Text without white space: Qt writes a space so that some readers of PDF have it as a tab."""
    return "".join(text.split())


def read(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def text_in(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in read(content).pages)


def hurried(**more: object) -> Build:
    return edited(Build(), {**HURRY, **more})


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_pages_of_the_paper_asked_for(paper: PaperName, sample_path: Path) -> None:
    build = sample(sample_path)
    content = sheet_bytes(build, solve(build), paper=paper, source_name=sample_path.name, printed_on=DAY)
    pages = read(content).pages
    assert 2 <= len(pages) <= 3
    for page in pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(PAPER_SIZES[paper], abs=0.6)
    assert len(content) <= 300_000


# Paper and paper in turn: each case in two of the four that its units and papers make.
@pytest.mark.parametrize(
    "case",
    [one for number, one in enumerate(CASES) if number % 4 in {0, 3}],
    ids=lambda case: ", ".join(filter(None, case)),
)
def test_every_word_of_the_pages_can_be_read_back(case: tuple[str, str, PaperName]) -> None:
    """Each page's own words, in their order, and those of its drawing among the others."""
    sheet = case_of(*case).sheet
    pages = read(pdf_bytes(sheet.pages)).pages
    assert len(pages) == len(sheet.pages)
    for number, page in enumerate(pages):
        found = letters(page.extract_text())
        assert letters(text_of(sheet, number)) in found
        for words in words_of(sheet.pages[number], drawing=True):
            assert letters(words.text) in found


def test_findings_cautions_and_both_units_stand_in_the_file() -> None:
    for path in SAMPLES:
        build = sample(path)
        solution = solve(build)
        text = letters(text_in(sheet_bytes(build, solution, printed_on=DAY)))
        for name in names_of(solution).values():
            assert letters(name).lower() in text.lower()
        for caution in CAUTIONS:
            assert letters(caution) in text


@pytest.mark.parametrize(
    ("length", "torque", "expected"),
    [
        ("inch", "pound_foot", ("51.00 in (1,295 mm)", "lb·ft (", "3.00 in (76.2 mm)", "0.083 in (2.11 mm)")),
        ("millimetre", "newton_metre", ("1,295 mm (51.00 in)", "N·m (", "76.2 mm (3.00 in)", "2.11 mm (0.083 in)")),
    ],
)
def test_lengths_and_torques_in_both_units_the_persons_own_first(
    length: str, torque: str, expected: tuple[str, ...]
) -> None:
    build = hurried(**{
        "display.length": length, "display.torque": torque, "shaft.kind": "one_piece",
        "shaft.tube.outer_diameter_mm": 76.2, "shaft.tube.wall_mm": 2.11, "powertrain.peak_torque_nm": 330.0,
        "powertrain.gear_ratios": (4.8, 1.0), "shaft.slip.stroke_mm": 110.0, "shaft.slip.engaged_mm": 60.0,
    })  # fmt: skip
    text = letters(text_in(sheet_bytes(build, solve(build), printed_on=DAY)))
    for words in expected:
        assert letters(words) in text, words


def test_empty_build_says_what_to_measure() -> None:
    text = letters(text_in(sheet_bytes(Build(), solve(Build()), printed_on=DAY)))
    for words in (
        "Untitled build",
        "not saved yet",
        "9 Mar 2025",
        "The drawing begins with",
        "measure: output slope, shaft slope",
    ):
        assert letters(words) in text, words
    assert "None" not in text
    assert not any(words.text in {"nan", "nan°"} for page in case_of("empty", "", "letter").sheet.pages
                   for words in words_of(page, drawing=True))  # fmt: skip


@pytest.mark.parametrize("title", ["$x^2$ & <b>", "日本語 🚚 truck", "W" * 200, "word " * 40])
def test_any_title_is_printed_and_never_breaks_the_page(title: str) -> None:
    build = hurried(title=title)
    content = sheet_bytes(build, solve(build), source_name=f"{title.strip()[:60]}.json", printed_on=DAY)
    assert "1of2:enoughatthevehicle" in letters(text_in(content))
    if title.startswith("$"):
        assert letters(title) in letters(text_in(content))  # no mathematics is read into it


def test_the_file_can_be_written_before_any_application_runs(tmp_path: Path) -> None:
    (tmp_path / "build.json").write_text(hurried().model_dump_json(), encoding="utf-8")
    code = (
        "import sys; from datetime import date; from pathlib import Path\n"
        "from app.sheet import sheet_bytes; from geometry import Build, solve\n"
        "build = Build.model_validate_json(Path(sys.argv[1]).read_text(encoding='utf-8'))\n"
        "Path(sys.argv[2]).write_bytes(sheet_bytes(build, solve(build), printed_on=date(2025, 3, 9)))\n"
        "assert not any(name.partition('.')[0] in ('matplotlib', 'scipy', 'PIL') for name in sys.modules)\n"
        "assert 'PySide6.QtWidgets' not in sys.modules\n"
    )
    output = tmp_path / "sheet.pdf"
    subprocess.run(
        [sys.executable, "-W", "error", "-c", code, str(tmp_path / "build.json"), str(output)],
        check=True, cwd=ROOT, timeout=120,
    )  # fmt: skip
    assert text_in(output.read_bytes()) == text_in(sheet_bytes(hurried(), solve(hurried()), printed_on=DAY))


def test_file_names_its_title_and_program_and_no_place_on_this_machine() -> None:
    build = hurried()
    content = sheet_bytes(build, solve(build), source_name="wagon.json", printed_on=DAY)
    about = read(content).metadata
    assert about is not None
    assert about.title == "Wagon, angles only"
    assert about.creator == "Shaftwright"
    reader = read(content)
    objects = [reader.get_object(number) for number in range(1, int(reader.trailer["/Size"]))]
    streams = [one.get_data() for one in objects if isinstance(one, StreamObject)]
    assert len(streams) > 4
    everything = content + b"".join(streams)
    for place in (str(ROOT), str(Path.home()), sys.prefix):
        assert place.encode() not in everything


def test_words_can_be_selected_and_nothing_is_a_picture() -> None:
    for page in read(sheet_bytes(hurried(), solve(hurried()), printed_on=DAY)).pages:
        assert not page.images
        fonts = page["/Resources"]["/Font"].values()  # type: ignore[index]
        assert fonts
        for font in fonts:
            described = font.get_object()
            assert "DejaVuSans" in described["/BaseFont"]
            assert "/ToUnicode" in described


def test_today_is_taken_where_no_date_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.sheet.paper.today", lambda: date(2024, 2, 29))
    assert "29Feb2024" in letters(text_in(sheet_bytes(Build(), solve(Build()))))
