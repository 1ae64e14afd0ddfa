"""Papers as further pages of the sheet, chosen by the person: by the command, in the menu, remembered."""

from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.commands import main
from app.papers.kinds import BEHIND, PAPERS, paper_pages
from app.window.settings import papers_behind, want_behind
from app.window.shell import exports
from app.window.shell.main_window import MainWindow
from geometry import solve
from tests.app.sheets import sample

SAMPLE = Path(__file__).parent.parent.parent / "sample_builds" / "ranch_truck_swap.json"


def texts(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_the_command_puts_papers_behind_in_their_own_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "all.pdf"
    assert main(["sheet", str(SAMPLE), "-o", str(out), "--with", "tacking", "--with", "brackets"]) == 0
    alone = tmp_path / "alone.pdf"
    assert main(["sheet", str(SAMPLE), "-o", str(alone)]) == 0
    text = texts(out)
    assert len(text) == len(texts(alone)) + 2
    assert "Perches and brackets" in text[-2]
    assert "Tacking sequence" in text[-1]
    assert PdfReader(out).metadata.title == PdfReader(alone).metadata.title
    assert main(["sheet", str(SAMPLE), "-o", str(out), "--with", "sheet"]) == 2
    assert "--with" in capsys.readouterr().err


@pytest.mark.parametrize("what", BEHIND)
def test_every_paper_may_go_behind(what, qapp) -> None:
    assert qapp
    build = sample()
    whole = solve(build)
    alone = paper_pages("sheet", build, whole, "letter", "x.json")
    both = paper_pages("sheet", build, whole, "letter", "x.json", [what])
    assert len(both) == len(alone) + len(paper_pages(what, build, whole, "letter", "x.json"))
    assert {(page.width, page.height) for page in both} == {(alone[0].width, alone[0].height)}


def test_what_is_ticked_in_the_menu_goes_behind_and_is_remembered(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.document.open(sample(), None)
    qtbot.waitExposed(window)
    by_name = {one.text(): one for one in window.menus.behind.actions()}
    assert list(by_name) == [PAPERS[what].title for what in BEHIND]
    assert papers_behind() == []
    by_name["Tacking sequence"].trigger()
    by_name["Shaft order"].trigger()
    assert papers_behind() == ["order", "tacking"]
    out = tmp_path / "sheet.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), "PDF (*.pdf)"))
    assert exports.export_paper(window.document, window) == out
    assert "Tacking sequence" in texts(out)[-1]
    assert exports.behind_of("card") == []
    by_name["Shaft order"].trigger()
    assert papers_behind() == ["tacking"]
    want_behind("tacking", on=False)
    assert papers_behind() == []
