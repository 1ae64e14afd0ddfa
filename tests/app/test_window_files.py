"""Files and accidents in the real window: nothing is lost unasked, and nothing vanishes silently."""

import gc
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Literal

import pytest
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from app.commands import COMMANDS
from app.drawing.items import Words
from app.papers.kinds import PAPERS, What, paper_pages
from app.window.document import Document
from app.window.keeping import asking
from app.window.keeping.crash import Watch
from app.window.keeping.recovery import left_copies
from app.window.settings import recent_files
from app.window.shell.main_window import MainWindow
from geometry import Build, value_at

RANCH = Path(__file__).parent.parent.parent / "sample_builds" / "ranch_truck_swap.json"


def answering(monkeypatch: pytest.MonkeyPatch, answer: str) -> list[tuple[str, int]]:
    """Answer the question about unsaved work, and note what was asked."""
    asked: list[tuple[str, int]] = []

    def answered(parent: object, name: str, untaken: int) -> str:
        asked.append((name, untaken))
        return answer

    monkeypatch.setattr(asking, "what_about_unsaved", answered)
    return asked


def change(window: MainWindow) -> None:
    window.document.apply({"axle.pinion_slope_deg": 2.5}, "pinion slope 2.5°")


def test_opening_and_saving_changes_no_byte(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    path.write_bytes(RANCH.read_bytes())
    window.filing.open_path(path)
    assert window.document.path == path
    assert window.filing.save()
    assert path.read_bytes() == RANCH.read_bytes()


def test_the_title_tells_of_unsaved_work(window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "mine.json"
    monkeypatch.setattr(asking, "where_to_save", lambda *_: path)
    assert not window.isWindowModified()
    change(window)
    assert window.isWindowModified()
    assert "[*]" in window.windowTitle()
    assert window.filing.save()
    assert not window.isWindowModified()
    assert window.windowTitle().startswith("mine.json")
    window.document.stack.undo()
    assert window.isWindowModified()
    window.document.stack.redo()
    assert not window.isWindowModified()


@pytest.mark.parametrize("way", ["new", "open", "sample", "close"])
def test_unsaved_work_never_goes_unasked(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    ways = {
        "new": window.filing.new,
        "open": lambda: window.filing.open_path(RANCH),
        "sample": lambda: window.filing.open_sample(RANCH),
        "close": window.close,
    }
    change(window)
    before = window.document.build
    asked = answering(monkeypatch, "cancel")
    ways[way]()
    assert len(asked) == 1
    assert window.document.build is before
    assert window.isVisible()

    path = tmp_path / "kept.json"
    monkeypatch.setattr(asking, "where_to_save", lambda *_: path)
    answering(monkeypatch, "save")
    ways[way]()
    assert Build.model_validate_json(path.read_text(encoding="utf-8")) == before
    if way == "close":
        assert not window.isVisible()
    else:
        assert window.document.build is not before
        assert window.document.stack.isClean()


def test_a_save_that_is_thought_better_of_keeps_the_work(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    change(window)
    before = window.document.build
    answering(monkeypatch, "save")
    monkeypatch.setattr(asking, "where_to_save", lambda *_: None)
    window.filing.new()
    assert window.document.build is before


def test_discarding_goes_on(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    change(window)
    answering(monkeypatch, "discard")
    window.filing.new()
    assert window.document.build == Build()
    assert window.document.stack.isClean()


def test_typing_that_was_not_understood_is_asked_about(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit = window.measurements.row_for("axle.pinion_slope_deg").editors()[0]
    edit.setFocus()
    qtbot.keyClicks(edit, "4 hats")
    asked = answering(monkeypatch, "cancel")
    window.close()
    assert asked == [("Untitled", 1)]
    assert edit.text() == "4 hats"  # type: ignore[attr-defined]


def test_what_is_being_typed_is_saved_too(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "typed.json"
    monkeypatch.setattr(asking, "where_to_save", lambda *_: path)
    edit = window.measurements.row_for("axle.pinion_slope_deg").editors()[0]
    edit.setFocus()
    qtbot.keyClicks(edit, "4.5")
    window.menus.save.trigger()
    assert value_at(Build.model_validate_json(path.read_text(encoding="utf-8")), "axle.pinion_slope_deg") == 4.5


def test_a_file_that_cannot_be_read_leaves_the_open_build(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text('{"axle": {"ratio": -3}}', encoding="utf-8")
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    before = window.document.build
    window.filing.open_path(bad)
    assert window.document.build is before
    assert "axle.ratio" in str(told[0])


def test_a_file_that_cannot_be_written_stays_unsaved(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    monkeypatch.setattr(asking, "where_to_save", lambda *_: tmp_path / "no folder" / "x.json")
    change(window)
    assert not window.filing.save()
    assert len(told) == 1
    assert window.isWindowModified()


def test_recent_files_come_latest_first_and_once(window: MainWindow, tmp_path: Path) -> None:
    paths = [tmp_path / f"{name}.json" for name in "abc"]
    for path in paths:
        path.write_bytes(RANCH.read_bytes())
        window.filing.open_path(path)
    window.filing.open_path(paths[0])
    assert recent_files() == [paths[0].resolve(), paths[2].resolve(), paths[1].resolve()]
    listed = window.menus.recent.actions()
    assert [action.text() for action in listed] == ["&1 a.json", "&2 c.json", "&3 b.json"]
    listed[1].trigger()
    assert window.document.path == paths[2].resolve()


@pytest.mark.parametrize("named", ["from the menu", "from its folder"])
def test_a_recent_file_that_is_gone_is_said_and_leaves_the_menu(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    paths = [tmp_path / f"{name}.json" for name in "ab"]
    for path in paths:
        path.write_bytes(RANCH.read_bytes())
        window.filing.open_path(path)
    paths[0].unlink()
    told: list[tuple[str, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda _, *words: told.append(words))
    monkeypatch.chdir(tmp_path)
    if named == "from the menu":
        window.menus.recent.actions()[1].trigger()
    else:
        window.filing.open_path(Path("a.json"))
    assert [words[0] for words in told] == ["This file cannot be opened"]
    assert recent_files() == [paths[1].resolve()]
    assert [action.text() for action in window.menus.recent.actions()] == ["&1 b.json"]
    assert window.document.path == paths[1]


def test_a_sample_has_no_file_of_its_own(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    window.filing.open_sample(RANCH)
    assert window.document.path is None
    assert not window.isWindowModified()
    asked: list[Path] = []
    monkeypatch.setattr(asking, "where_to_save", lambda _, suggestion: asked.append(suggestion))
    assert not window.filing.save()
    assert asked[0].suffix == ".json"


def test_an_uncaught_error_keeps_a_copy_and_says_so(
    qtbot: QtBot, window: MainWindow, capsys: pytest.CaptureFixture[str]
) -> None:
    said: list[tuple[str, str, str]] = []
    watch = Watch(window.keeper.keep, say=lambda *words: said.append(words))
    before = sys.excepthook
    watch.install()
    try:
        change(window)
        error = ZeroDivisionError("a trial")
        sys.excepthook(type(error), error, None)
        qtbot.waitUntil(lambda: len(said) == 1)
        assert str(window.keeper.file) in said[0][1]
        assert "a trial" in said[0][2]
        assert window.isVisible()
    finally:
        watch.remove()
    assert sys.excepthook is before
    assert "a trial" in capsys.readouterr().err
    window.keeper.release()  # as when the program ends
    [copy] = left_copies(window.keeper.file.parent)
    assert copy.build == window.document.build
    assert copy.name == "Untitled"


def test_an_error_in_another_thread_is_told_as_well(
    qtbot: QtBot, window: MainWindow, capsys: pytest.CaptureFixture[str]
) -> None:
    said: list[tuple[str, str, str]] = []
    watch = Watch(window.keeper.keep, say=lambda *words: said.append(words))
    watch.install()
    try:
        worker = threading.Thread(target=lambda: 1 // 0)
        worker.start()
        worker.join()
        qtbot.waitUntil(lambda: len(said) == 1)
    finally:
        watch.remove()
    assert "nothing unsaved" in said[0][1]
    assert "ZeroDivisionError" in capsys.readouterr().err


def test_the_copy_of_a_running_window_is_not_offered(window: MainWindow) -> None:
    change(window)
    kept = window.keeper.keep()
    assert kept is not None
    assert left_copies(kept.parent) == []
    window.keeper.drop()
    assert not kept.exists()


def test_a_closed_window_leaves_no_copy(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    change(window)
    kept = window.keeper.keep()
    assert kept is not None
    answering(monkeypatch, "discard")
    assert window.close()
    assert not kept.exists()


def test_size_and_theme_are_remembered(window: MainWindow, qtbot: QtBot, let_go: Callable[[MainWindow], None]) -> None:
    window.resize(1300, 700)
    window.show_theme("dark")
    qtbot.waitUntil(lambda: window.width() == 1300)
    assert window.close()
    again = MainWindow()
    again.show()
    size, theme = again.size(), again.theme.name
    again.show_theme("light")
    let_go(again)
    assert size.height() == 700  # the width is what the screen of the run has
    assert theme == "dark"


def test_the_drawing_is_written_where_it_was_asked_for(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.filing.open_sample(RANCH)
    path = tmp_path / "sketch.svg"
    monkeypatch.setattr(asking, "where_to_write", lambda *_: path)
    window.export_sketch()
    assert "<svg" in path.read_text(encoding="utf-8")[:2000]
    monkeypatch.setattr(asking, "where_to_write", lambda *_: tmp_path / "sketch.gif")
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    window.export_sketch()
    assert not (tmp_path / "sketch.gif").exists()
    assert ".svg, .png or .pdf" in str(told[0])


def test_the_sheet_is_written_and_printed(window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from pypdf import PdfReader

    from app.window.shell import exports

    window.filing.open_sample(RANCH)
    path = tmp_path / "sheet.pdf"
    monkeypatch.setattr(asking, "where_to_write", lambda *_: path)
    window.export_paper("sheet")
    first, *others = PdfReader(path).pages
    words = " ".join(first.extract_text().split())
    assert window.document.build.title.partition(":")[0] in words
    page = first
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (612.0, 792.0)  # letter, 1/72 in

    printed = tmp_path / "printed.pdf"
    printer = exports.printer_for(window.document)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(printed))
    exports.paint_on(printer, window.document)
    del printer
    page, *rest = PdfReader(printed).pages
    assert len(rest) == len(others)
    assert float(page.mediabox.width) == pytest.approx(612.0, abs=1.0)


@pytest.mark.parametrize(("what", "words", "pages"), [("card", "MEASURINGCARD", 2), ("order", "SHAFTORDER", 1)])
def test_papers_for_the_bench_are_written_and_printed(
    what: Literal["card", "order"], words: str, pages: int, window: MainWindow, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    from pypdf import PdfReader

    from app.window.shell import exports

    window.filing.open_sample(RANCH)
    asked: list[Path] = []
    path, printed = tmp_path / "paper.pdf", tmp_path / "printed.pdf"

    def where(_: object, title: str, suggested: Path, kinds: str) -> Path:
        assert kinds == "PDF (*.pdf)"
        assert title.replace(" ", "").upper().startswith(words)
        asked.append(suggested)
        return path

    monkeypatch.setattr(asking, "where_to_write", where)
    window.export_paper(what)
    assert asked[0].name.endswith(f"_{what}.pdf")
    printer = exports.printer_for(window.document)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(printed))
    exports.paint_on(printer, window.document, what)
    del printer
    for made in (path, printed):
        found = PdfReader(made).pages
        assert len(found) == pages
        assert words in "".join(found[0].extract_text().split())
    monkeypatch.setattr(asking, "where_to_write", lambda *_: None)
    path.unlink()
    window.export_paper(what)
    assert not path.exists()


@pytest.mark.parametrize("what", PAPERS)
def test_every_paper_has_one_name_in_menu_file_command_and_preview(
    what: What, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its own first page says that name too, and where it cannot be written it is said in a whole sentence."""
    paper = PAPERS[what]
    window.filing.open_sample(RANCH)
    told: list[tuple[object, ...]] = []
    asked: list[tuple[str, Path, str]] = []

    def where(_: object, title: str, suggested: Path, kinds: str) -> Path:
        asked.append((title, suggested, kinds))
        return tmp_path / "no" / "where.pdf"

    monkeypatch.setattr(asking, "where_to_write", where)
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    window.export_paper(what)
    are = "were" if paper.title.endswith("s") else "was"
    assert f"The {paper.title.lower()} {are} not written" in str(told[0])
    ((title, suggested, kinds),) = asked
    assert title == f"{paper.title} as PDF"
    assert suggested.name.endswith(f"_{what}.pdf")
    assert all(f"(*{kind})" in kinds for kind in paper.kinds)
    assert COMMANDS[paper.word].help == paper.says
    if paper.menu is not None:
        written, printed = (words.replace("&", "").removesuffix("…") for words in paper.menu)
        assert written.startswith(f"{paper.title} as PDF")
        assert printed == paper.printed
    document = window.document
    pages = paper_pages(what, document.build, document.solution, "letter", document.name)
    heads = {item.text for layer in pages[0].layers for item in layer.items if isinstance(item, Words)}
    assert any(paper.title.casefold() in head.casefold() for head in heads)


def test_the_bench_papers_stand_in_the_file_menu(window: MainWindow) -> None:
    (menu,) = [
        one for one in window.menuBar().findChildren(QMenu) if one.title().replace("&", "") == "Papers for the bench"
    ]
    words = [action.text().replace("&", "") for action in menu.actions()]
    assert words == [
        "Measuring card as PDF…", "Measuring card as it prints…", "Shaft order as PDF…", "Shaft order as it prints…",
        "Perches and brackets as PDF…", "Perches and brackets as they print…",
        "Tacking sequence as PDF…", "Tacking sequence as it prints…",
        "Templates as PDF or DXF…", "Templates as they print…",
    ]  # fmt: skip
    keys = [action.text()[action.text().index("&") + 1].lower() for action in menu.actions()]
    assert len(set(keys)) == len(keys)


def test_the_preview_keeps_its_printer(window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """The dialog only borrows the printer; gone too early it would take the program with it."""
    from app.window.shell import exports

    window.filing.open_sample(RANCH)
    painted: list[str] = []
    paint = exports.paint_on

    def painting(printer: QPrinter, document: Document, what: str) -> None:
        paint(printer, document, what)
        painted.append(printer.docName())

    def shown(dialog: QPrintPreviewDialog) -> int:
        gc.collect()
        dialog.open()
        qtbot.waitUntil(lambda: bool(painted))
        assert dialog.printer().docName() == window.document.name
        dialog.close()
        return 0

    monkeypatch.setattr(exports, "paint_on", painting)
    monkeypatch.setattr(QPrintPreviewDialog, "exec", shown)
    window.preview_paper("sheet")
    assert set(painted) == {window.document.name}


def test_an_error_in_telling_an_error_ends_there(
    window: MainWindow, qtbot: QtBot, capsys: pytest.CaptureFixture[str]
) -> None:
    """Were it caught and told as well, that would fail again, without end."""
    tried: list[str] = []

    def say(what: str, more: str, details: str) -> None:
        tried.append(details)
        raise RuntimeError("no box can be shown")

    watch = Watch(window.keeper.keep, say=say)
    watch.install()
    try:
        watch.caught(ValueError, ValueError("first"), None)
        watch.caught(ValueError, ValueError("second"), None)
        qtbot.waitUntil(lambda: len(tried) == 2)
        QApplication.processEvents()
    finally:
        watch.remove()
    assert [("first" in one, "second" in one) for one in tried] == [(True, False), (False, True)]
    assert capsys.readouterr().err.count("no box can be shown") >= 2


def test_the_program_opens_a_window_and_ends_with_it(
    program: Callable[[Path, Callable[[MainWindow], None]], int],
) -> None:
    seen: list[str] = []
    before = sys.excepthook
    assert program(RANCH, lambda made: seen.append(made.document.name)) == 0
    assert seen == [RANCH.name]
    assert sys.excepthook is before
    assert recent_files() == [RANCH.resolve()]
