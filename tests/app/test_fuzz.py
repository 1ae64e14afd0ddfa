"""Files and names as they come from a broken disk, a wrong editor or a bad joke: every output holds, none forges.

Seeded, so that a failure comes again: the message names the number of the file. The ordinary run tries a few; the
environment variable FUZZ_FILES says how many (20,000 before a release), and one in forty goes through every output.
Then each must do with two seconds of the processor, and all of them with one GiB.
"""

import contextlib
import io
import json
import os
import random
import sys
import time
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QSize
from PySide6.QtGui import QImage, QPdfWriter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.commands import main
from app.curves.curves import curves_of
from app.curves.panels import panels
from app.drawing.painter import paint_pages
from app.drawing.palette import LIGHT
from app.drawing.picture_files import pdf_bytes, picture_bytes, sketch
from app.files import FileTrouble, build_text, read_build
from app.papers.card import card_pages
from app.papers.order import order_pages
from app.report import report_text
from app.sheet import sheet_bytes, sheet_pages
from app.window.keeping import crash, recovery
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, solve
from tests.app.plainness import rich_words

ASKED = os.environ.get("FUZZ_FILES")
FILES = int(ASKED or 120)
DRAWN = FILES // 40
LONGEST_S, MOST_KIB = 2.0, 1024 * 1024
SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))

BITS = (
    "tank", "frame rail", " ", "  ", "\n", "\r\n", "\t", "\u2028", "\x00", "\x1b[2J", "\x1b]0;x\x07", "\x9b31m", "\x7f",
    "\ufeff", "\u202e", "\u2066", "\u200f", "\u200b", "\u00ad", "\ufffe", "\uffff", "\U0010ffff", "\ue000", "\u0378",
    "<b>", "<img src='file:///etc/hostname'>", "</text>", "]]>", "&", "&amp;", "<!--", "<a href='x'>", "<script>",
    "$x^2$", "$\\frac{1}{", "\\alpha", "${}", "%s%n", "{0}", "{", "}", "\\", "'", '"', "`", ";", "=1+1", "[*]", "&&",
    "漢字", "עברית", "العربية", "ไทย", "🚚", "🫩", "e\u0301", "a" + "\u0301" * 30, "ﬁ", "Ǆ", "½", "−", "W" * 90,
    "x" * 300, "HOLD", "CLEAR", "Findings, worst first", "CAUTION: ", "../..", "C:\\", "\u3164", "\u2800",
    "❤\ufe0f", "\U000e0041",
)  # fmt: skip
NUMBERS = (
    "0", "-0", "-0.0", "1e400", "-1e400", "NaN", "Infinity", "-Infinity", "1e-320", "5e-324", "1e308", "0.001", "1",
    "-1", "90", "360", "20000", "-20000", "20000.000001", "9" * 400, "9" * 5_000, "0." + "1" * 3_000, "1E+2", "true",
    "null", '"3.5"', "[]", "{}", '""', "[1,2]", "[1,2,3]", "[0,0,0]", "1e", "01", "+1", "0x10", "1_000",
)  # fmt: skip


class Raw:
    """A value that stands in the file just as it is spelt here."""

    def __init__(self, text: str) -> None:
        self.text = text


def nasty(dice: random.Random) -> str:
    return "".join(dice.choice(BITS) for _ in range(dice.randint(1, 5)))


def spelt(value: Any, dice: random.Random) -> str:
    """JSON of a tree, with raw values as they are, and now and then a key twice or letters as escapes."""
    if isinstance(value, Raw):
        return value.text
    if isinstance(value, dict):
        items = [f"{json.dumps(key)}: {spelt(item, dice)}" for key, item in value.items()]
        if items and dice.random() < 0.002:
            items.append(dice.choice(items))
        return "{" + ", ".join(items) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(spelt(item, dice) for item in value) + "]"
    return json.dumps(value, ensure_ascii=dice.random() < 0.5)


def places(value: Any, found: list[tuple[Any, Any]]) -> list[tuple[Any, Any]]:
    """Every container of a tree with each of its keys."""
    for key, item in list(value.items() if isinstance(value, dict) else enumerate(value)):
        found.append((value, key))
        if isinstance(item, dict | list):
            places(item, found)
    return found


def wordy(tree: dict[str, Any], dice: random.Random) -> dict[str, Any]:
    """The tree with a bad joke for every name in it, short enough to be taken now and then."""
    tree["title"], tree["notes"] = nasty(dice)[:200], "\n".join(nasty(dice) for _ in range(dice.randint(0, 4)))
    outline = [[dice.uniform(500.0, 3_500.0), dice.uniform(-400.0, 900.0)] for _ in range(dice.randint(3, 6))]
    view = dice.choice(("side", "top"))
    tree.setdefault("obstacles", []).append({"outline_mm": outline, "view": view, "gap_mm": 20.0})
    tree.setdefault("shocks", []).append({})
    for key in ("shocks", "torque_bars", "obstacles"):
        for thing in tree.get(key, ()):
            thing["name"] = nasty(dice)[:80]
    return tree


def file_of(number: int) -> bytes:
    """Content of one file of the run."""
    dice = random.Random(f"file {number}")
    tree: dict[str, Any] = json.loads(dice.choice(SAMPLES).read_bytes())
    kind = dice.random()
    if kind < 0.5:
        wordy(tree, dice)
    if kind > 0.4:
        for _ in range(dice.randint(1, 3)):
            owner, key = dice.choice(places(tree, []))
            what = dice.random()
            if what < 0.6:
                owner[key] = Raw(dice.choice(NUMBERS))
            elif what < 0.7:
                owner[key] = nasty(dice)
            elif what < 0.8:
                depth = dice.choice((1, 3, 90, 220, 1_200))
                owner[key] = Raw(dice.choice(("[" * depth + "]" * depth, '{"a":' * depth + "1" + "}" * depth)))
            elif what < 0.9 and isinstance(owner, dict):
                owner[nasty(dice)[: dice.choice((5, 80, 5_000))]] = owner.pop(key)
            else:
                del owner[key]
    text = spelt(tree, dice)
    if kind > 0.97:
        text = dice.choice(
            ("", " " * 5_000, "[" * 3_000, "null", "\ufeff" * 2 + text, r'{"title": "\udc00"}', text * 2)
        )
    encoding = dice.choice(("utf-8",) * 16 + ("utf-16", "utf-32-le", "utf-8-sig", "cp1252"))
    content = text.encode(encoding, errors="replace" if encoding == "cp1252" else "surrogatepass")
    if kind > 0.85:
        at, end = sorted(dice.randrange(len(content) + 1) for _ in range(2))
        middle = dice.choice(
            (b"", content[at:end] * 2, bytes(dice.randrange(256) for _ in range(9)), content[at:end][:1])
        )
        content = content[:at] + middle + content[end:]
    return content


@contextmanager
def within_bounds(what: str) -> Iterator[None]:
    """Hold a step to the processor's time and to the memory where many were asked for; an ordinary run is not timed."""
    start = time.process_time()
    yield
    if ASKED is None:
        return
    took = time.process_time() - start
    assert took < LONGEST_S, f"{what} took {took:.1f} s"
    if sys.platform != "win32":
        import resource

        unit = 1024 if sys.platform == "darwin" else 1
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // unit
        assert most < MOST_KIB, f"{what}: {most // 1024} MiB"


def name_of(number: int, folder: Path) -> Path:
    """A file's name, often a bad joke where the system takes it."""
    dice = random.Random(f"name {number}")
    if dice.random() < 0.5:
        return folder / "truck.json"
    name = nasty(dice).replace("/", "").replace("\0", "").strip(". ")[:60] + ".json"
    path = folder / name
    try:
        path.write_bytes(b"")
        path.unlink()
    except (OSError, ValueError):
        return folder / "truck.json"
    return path


def test_any_file_is_a_build_or_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    taken = 0
    for number in range(FILES):
        path = name_of(number, tmp_path)
        path.write_bytes(file_of(number))
        with within_bounds(f"file {number}"):
            code = main(["solve", str(path)])
        out, err = capsys.readouterr()
        if code == 0:
            taken += 1
            assert err == "", number
            assert all(line.isprintable() for line in out.split("\n")), number
            build = read_build(path)
            shafts = 1 + len(build.drivelines)
            assert [line == "Findings, worst first" for line in out.split("\n")].count(True) == shafts, number
            assert Build.model_validate_json(build_text(build)) == build, number
        else:
            assert code == 2, number
            assert out == "", number
            assert err.endswith("\n"), number
            assert err[:-1].isprintable(), f"{number}: {err!r}"
            assert len(err) < 600 + len(str(path)) * 4, number
        path.unlink()
    assert FILES // 10 < taken < FILES  # both kinds were tried


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "settings"))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(crash, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow()
    made.resize(1366, 768)
    made.show()
    yield made
    let_go(made)


def builds(tmp_path: Path) -> Iterator[tuple[int, Build]]:
    """Builds of the run that can be opened, every name in them a bad joke, cut until it is taken."""
    number = found = 0
    path = tmp_path / "truck.json"
    while found < DRAWN:
        dice = random.Random(f"build {number}")
        tree = wordy(json.loads(dice.choice(SAMPLES).read_bytes()), dice)
        tree["notes"] = tree["notes"][:2_000]
        path.write_text(json.dumps(tree), encoding="utf-8")
        with contextlib.suppress(FileTrouble):  # a name of which nothing can be seen
            yield number, read_build(path)
            found += 1
        number += 1


def test_any_name_goes_through_every_output(window: MainWindow, tmp_path: Path) -> None:
    for number, build in builds(tmp_path):
        solution = solve(build)
        for kind in (".svg", ".png", ".pdf"):
            with within_bounds(f"{kind} of {number}"):
                _check_picture(kind, picture_bytes(sketch(build, solution), kind))
            curves = curves_of(build, solution)
            if curves is not None:
                with within_bounds(f"curves in {kind} of {number}"):
                    _check_picture(kind, picture_bytes(panels(curves, (1100.0, 230.0), LIGHT, 0.0), kind))
        with within_bounds(f"sheet of {number}"):
            content = sheet_bytes(build, solution, source_name=nasty(random.Random(number)))
        assert all(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
        with within_bounds(f"print of {number}"):
            paint_pages(QPdfWriter(str(tmp_path / "printed.pdf")), sheet_pages(build, solution, "a4", source_name="x"))
        for what, pages in (
            ("card", card_pages(build, "a4", source_name="x")), ("order", order_pages(build, solution, source_name="x"))
        ):  # fmt: skip
            with within_bounds(f"{what} of {number}"):
                content = pdf_bytes(pages, build.title)
            assert all(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
        with within_bounds(f"report of {number}"):
            report = report_text(build, solution, nasty(random.Random(number)))
        assert all(line.isprintable() for line in report.split("\n"))
        assert json.loads(solution.model_dump_json())["findings"] is not None
        with within_bounds(f"window of {number}"):
            _show(window, build)
        assert rich_words(window) == [], number


def _check_picture(kind: str, content: bytes) -> None:
    if kind == ".svg":
        page = ET.fromstring(content)  # noqa: S314  our own file
        tags = {element.tag.rpartition("}")[2] for element in page.iter()}
        assert not tags & {"a", "script", "image", "img", "b"}
        assert "text" in tags
    elif kind == ".png":
        assert content.startswith(b"\x89PNG")
    else:
        assert content.startswith(b"%PDF")
        assert len(PdfReader(io.BytesIO(content)).pages) == 1


def _show(window: MainWindow, build: Build) -> None:
    window.document.open(build, None)
    for key in ("title", "obstacles", "shocks"):
        window.measurements.boxes[key].set_open(opened=True)  # type: ignore[index]
    for finding in window.document.solution.findings:
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
    QApplication.processEvents()
    image = QImage(QSize(window.width(), window.height()), QImage.Format.Format_RGB32)
    window.render(image)
    window.document.apply({"notes": build.notes + "\x00<b>"}, f"notes {build.title}")
    window.undo()
    QApplication.processEvents()
    # No event loop runs here that would delete the rows of the build before.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_any_typing_is_taken_or_refused_in_one_sentence(window: MainWindow) -> None:
    window.document.open(edited(Build(), {"obstacles.0": {"outline_mm": ((0.0, 0.0), (9.0, 0.0), (0.0, 9.0))}}), None)
    for key in window.measurements.boxes:
        window.measurements.boxes[key].set_open(opened=True)
    QApplication.processEvents()
    rows = {row.entry.path: row for box in window.measurements.boxes.values() for row in box.rows}
    name = rows["obstacles.0.name"]
    slope = rows["powertrain.slope_deg"]
    dice = random.Random("typing")
    for _ in range(max(40, DRAWN)):
        for row in (name, slope):
            edit = row.editors()[0]
            typed = dice.choice((nasty(dice), dice.choice(NUMBERS), nasty(dice)[:10] + dice.choice(NUMBERS)))[:500]
            edit.setText(typed)  # type: ignore[attr-defined]
            edit.setModified(True)  # type: ignore[attr-defined]
            with within_bounds(f"typing {typed!r}"):
                row.commit()
            assert row.complaint.text().count("\n") == 0
            row.forget()
        assert "\n" not in window.document.build.obstacles[0].name
    assert rich_words(window) == []
