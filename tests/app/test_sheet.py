"""The build sheet as a file: read back with pypdf, a general library that shares nothing with the one that wrote it.

Paper sizes are those of ISO 216 (A4, 210 × 297 mm) and ANSI/ASME Y14.1 (A, 8.5 × 11 in), from memory.
"""

import io
import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import StreamObject

from app.cautions import CAUTIONS
from app.setpoints import set_points, variant_words
from app.sheet import build_figure, save_sheet
from app.sheet.figure import sheet_bytes
from app.sketch.palette import VERDICT_SIGNS
from geometry import Build, Solution, edited, solve
from geometry.words.solution import Remedy, Verdict

DAY = date(2025, 3, 9)
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


def plain(text: str) -> str:
    """Text with lines joined and white space made alike."""
    return " ".join(text.split())


def read(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def text_of(build: Build, solution: Solution | None = None, **options: object) -> str:
    content = sheet_bytes(build, solution or solve(build), printed_on=DAY, **options)  # type: ignore[arg-type]
    pages = read(content).pages
    assert len(pages) == 1
    return plain(pages[0].extract_text())


def hurried(**more: object) -> Build:
    return edited(Build(), {**HURRY, **more})


def overfull(build: Build) -> Solution:
    """Thirty findings that all hold or warn, each with a sentence of 150 letters and two long remedies."""
    solution = solve(build)
    made = []
    for number in range(30):
        finding = solution.findings[number % len(solution.findings)]
        start = f"Sentence {number + 1} tells of something on this vehicle that is not as it ought to be"
        says = f"{start}, and of what it does to the joints and the shaft before long"[:149].ljust(149, "x") + "."
        words = "at both perches fit 2° wedges that raise the pinion's nose, put 1 1/4 in of shim under the rear mount"
        way = Remedy(f"Way {number + 1}: {words}, then read all three lines once more.", {}, 1.0, "clear", "hold", ())
        verdict: Verdict = "hold" if number < 15 else "caution"
        bad = replace(finding, verdict=verdict, says=says, remedy=way, alternatives=(way,))
        made.append(replace(bad, value=100.0 + number, limit=50.0))
    assert all(len(finding.says) == 150 for finding in made)
    return replace(solution, verdict="hold", findings=tuple(made))


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        ("letter", (8.5 * POINTS_AN_INCH, 11.0 * POINTS_AN_INCH)),
        ("a4", (210.0 / MM_AN_INCH * POINTS_AN_INCH, 297.0 / MM_AN_INCH * POINTS_AN_INCH)),
    ],
)
def test_one_page_of_the_paper_asked_for(paper: str, size: tuple[float, float], sample_path: Path) -> None:
    build = Build.model_validate_json(sample_path.read_text(encoding="utf-8"))
    content = sheet_bytes(build, solve(build), paper=paper, source_name=sample_path.name, printed_on=DAY)  # type: ignore[arg-type]
    (page,) = read(content).pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.05)
    assert len(content) <= 300_000


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_sentence_and_the_cautions_are_whole(sample_path: Path, paper: str) -> None:
    build = Build.model_validate_json(sample_path.read_text(encoding="utf-8"))
    solution = solve(build)
    text = text_of(build, solution, paper=paper)
    said = []
    for finding in solution.findings:
        assert plain(finding.title)[1:] in text
        if finding.verdict == "unknown":
            assert plain(finding.says).partition("measure or enter ")[2].partition(". ")[0] in text
        else:
            assert (plain(finding.says) in text) == (finding.verdict != "clear")
        way = finding.remedy
        if finding.verdict in {"hold", "caution"} and way is not None:
            again = way.changes in said
            assert again or f"{plain(way.says)} Whole build then: {VERDICT_SIGNS[way.verdict]} {way.verdict}." in text
            said.append(way.changes)
    assert text.count("as for ") == len(said) - len([one for at, one in enumerate(said) if one not in said[:at]])
    assert "see the program" not in text  # nothing is left out of any sample
    for point in set_points(build, solution):
        if not point.spare:
            assert point.label in text
            way = point.note.rpartition(") ")[2]  # the other unit in brackets goes where there is no room for both
            assert any(f"{point.value} {note}".strip() in text for note in (point.note, way))
    assert variant_words(build, solution) in text
    for caution in CAUTIONS:
        assert caution in text
    assert plain(build.title) in text
    assert solution.says in text


def test_title_block_and_set_points_stand_in_words() -> None:
    text = text_of(hurried(), source_name="wagon.json")
    for words in (
        "Wagon, angles only", "wagon.json", "9 Mar 2025", "Shaftwright", "page 1 of 1", "set by", "checked by",
        "before tacking", "after tacking", "after welding", "4.2°", "tail down", "nose up", "10.5°", "down to the rear",
        "51.00 in", "(1,295 mm)",
    ):  # fmt: skip
        assert words in text, words


def test_verdicts_are_told_in_words_and_flags_by_the_numbers_of_the_list() -> None:
    solution = solve(hurried())
    text = text_of(hurried(), solution)
    flagged = [finding for finding in solution.findings if finding.verdict == "caution"]
    assert [finding.id for finding in flagged] == ["shaft_slope"]
    assert text.count("CAUTION 1") == 2  # once on the drawing, once in the list
    assert "CAUTION 1 Shaft steep 10.5°, at most 7.0°" in text
    assert "UNKNOWN" in text
    assert "CLEAR" in text


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
    text = text_of(build)
    for words in expected:
        assert words in text, words


def test_thirty_bad_findings_stay_on_one_page_with_every_sentence() -> None:
    build = hurried(notes="A note that goes on about the job. " * 565)
    assert 19_000 < len(build.notes) <= 20_000
    solution = overfull(build)
    for paper in ("letter", "a4"):
        text = text_of(build, solution, paper=paper)
        for finding in solution.findings:
            assert plain(finding.says) in text
        for caution in CAUTIONS:
            assert caution in text
        assert "notes continue in the file" in text


def test_short_notes_stand_whole_and_without_the_marker() -> None:
    text = text_of(hurried(notes="The floor by the door is level.\nThe\tother is not."))
    assert "Notes The floor by the door is level. The other is not." in text
    assert "notes continue" not in text


def test_empty_build_says_what_to_measure() -> None:
    text = text_of(Build())
    assert "Untitled build" in text
    assert "not saved yet" in text
    assert "measure: output slope, shaft slope, pinion slope" in text
    assert "measure: tube outside diameter, tube wall" in text
    assert "None" not in text
    assert "nan" not in text.replace("resonance", "")


@pytest.mark.parametrize("title", ["$x^2$ & <b>", "日本語 🚚 truck", "a\u202eb\x00c", "W" * 200, "word " * 40])
def test_any_title_is_printed_or_replaced_but_never_breaks_the_page(title: str) -> None:
    text = text_of(hurried(title=title), source_name=f"{title.strip()[:60]}.json")
    assert "page 1 of 1" in text
    if title.startswith("$"):
        assert title in text  # no mathematics is read into it


def test_same_build_and_date_give_the_same_bytes_in_any_process(tmp_path: Path) -> None:
    build = hurried()
    (tmp_path / "build.json").write_text(build.model_dump_json(), encoding="utf-8")
    code = (
        "import sys; from datetime import date; from pathlib import Path\n"
        "from app.sheet import save_sheet; from geometry import Build, solve\n"
        "build = Build.model_validate_json(Path(sys.argv[1]).read_text(encoding='utf-8'))\n"
        "save_sheet(build, solve(build), sys.argv[2], printed_on=date(2025, 3, 9))\n"
        "assert 'PySide6' not in sys.modules\n"
    )
    output = tmp_path / "sheet.pdf"
    subprocess.run(
        [sys.executable, "-W", "error", "-c", code, str(tmp_path / "build.json"), str(output)],
        check=True, cwd=ROOT, timeout=120, env={**os.environ, "PYTHONHASHSEED": "7"},
    )  # fmt: skip
    here = sheet_bytes(build, solve(build), printed_on=DAY)
    assert output.read_bytes() == here
    assert here != sheet_bytes(build, solve(build), printed_on=date(2025, 3, 10))


def test_file_names_its_title_and_program_and_no_place_on_this_machine(tmp_path: Path) -> None:
    build = hurried()
    save_sheet(build, solve(build), tmp_path / "sheet.pdf", source_name="wagon.json", printed_on=DAY)
    content = (tmp_path / "sheet.pdf").read_bytes()
    about = read(content).metadata
    assert about is not None
    assert about.title == "Wagon, angles only"
    assert about.creator == "Shaftwright"
    reader = read(content)
    objects = [reader.get_object(number) for number in range(1, int(reader.trailer["/Size"]))]
    streams = [one.get_data() for one in objects if isinstance(one, StreamObject)]
    assert len(streams) > 4
    everything = content + b"".join(streams)
    for place in (str(ROOT), str(tmp_path), str(Path.home()), sys.prefix):
        assert place.encode() not in everything


def test_words_can_be_selected_and_nothing_is_a_picture() -> None:
    (page,) = read(sheet_bytes(hurried(), solve(hurried()), printed_on=DAY)).pages
    assert not page.images
    fonts = page["/Resources"]["/Font"].values()  # type: ignore[index]
    assert fonts
    for font in fonts:
        described = font.get_object()
        assert "DejaVuSans" in described["/BaseFont"]
        assert "/ToUnicode" in described


def test_figure_has_the_papers_size() -> None:
    assert build_figure(Build(), solve(Build()), "letter").get_size_inches().tolist() == [8.5, 11.0]


def test_today_is_taken_where_no_date_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.sheet.figure.today", lambda: date(2024, 2, 29))
    assert "29 Feb 2024" in plain(read(sheet_bytes(Build(), solve(Build()))).pages[0].extract_text())
