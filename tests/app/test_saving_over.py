"""Saving over a file that is no longer what was read: seen by its content, asked about, and nothing lost unasked."""

import os
import shutil
import stat
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QFileDialog, QLabel, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from app import files
from app.files import NO_FILE, FileChanged, FileTrouble, digest_of, put_in_place, read_build, read_held, write_build
from app.window.document import Document
from app.window.keeping import asking
from app.window.keeping.recovery import Keeper
from app.window.shell.main_window import MainWindow
from geometry import Build, edited

OLD, MINE, THEIRS = (Build(title=title) for title in ("old", "mine", "theirs"))


# ---- files


def test_what_was_written_is_known_by_its_digest(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    written = write_build(path, OLD)
    assert read_held(path) == (OLD, written)
    assert digest_of(path) == written
    assert digest_of(tmp_path / "other.json") == NO_FILE
    assert digest_of(path / "below.json") == NO_FILE
    assert write_build(path, MINE, over=written) == digest_of(path)


def test_a_change_of_content_is_seen_whatever_its_time_and_size(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    read = write_build(path, OLD)
    before = path.stat()
    theirs = path.read_bytes().replace(b"old", b"new")
    path.write_bytes(theirs)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    with pytest.raises(FileChanged, match="another window or program") as changed:
        write_build(path, MINE, over=read)
    assert changed.value.digest == digest_of(path)
    assert path.read_bytes() == theirs
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_time_alone_is_no_change(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    read = write_build(path, OLD)
    os.utime(path, (1, 1))
    write_build(path, MINE, over=read)
    assert read_build(path) == MINE


def test_a_file_that_is_gone_is_a_change_and_what_is_there_already_is_none(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    read = write_build(path, OLD)
    path.unlink()
    with pytest.raises(FileChanged, match="no longer there") as changed:
        write_build(path, MINE, over=read)
    assert changed.value.digest == NO_FILE
    assert list(tmp_path.iterdir()) == []
    write_build(path, MINE, over=NO_FILE)
    write_build(path, MINE, over=read)  # another window wrote the very same


def test_a_change_while_the_draft_is_written_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "truck.json"
    read = write_build(path, OLD)
    write = Path.write_bytes

    def slowly(self: Path, content: bytes) -> int:
        write(path, b'{"title": "theirs"}')
        return write(self, content)

    monkeypatch.setattr(Path, "write_bytes", slowly)
    with pytest.raises(FileChanged):
        write_build(path, MINE, over=read)
    assert read_build(path).title == "theirs"
    assert list(tmp_path.iterdir()) == [path]


def test_drafts_of_killed_writers_go_and_all_else_stays(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    left = tmp_path / ".truck-0123456789ab.json"
    others = [
        tmp_path / name
        for name in (
            ".truck-0123456789ab.pdf",
            ".trucks-0123456789ab.json",
            ".truck-0123456789ag.json",
            ".truck-0123.json",
            "truck-0123456789ab.json",
        )
    ]
    young = tmp_path / ".truck-00000000000f.json"
    for file in (left, young, *others):
        file.write_text("{", encoding="utf-8")
    for file in (left, *others):
        os.utime(file, (1, 1))
    write_build(path, OLD)
    assert sorted(tmp_path.iterdir()) == sorted([path, young, *others])


def test_the_draft_of_a_living_writer_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "_YOUNG_S", -1)
    path = tmp_path / "truck.json"
    with put_in_place(path) as draft:
        draft.write_text('{"title": "slow"}', encoding="utf-8")
        write_build(path, OLD)
        files.sweep_drafts(path)
        assert draft.exists()
    assert read_build(path).title == "slow"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_cannot_be_listed_does_not_stop_the_writing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_: Path) -> Iterator[Path]:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "iterdir", refuse)
        files.sweep_drafts(tmp_path / "truck.json")
        write_build(tmp_path / "truck.json", OLD)
    assert read_build(tmp_path / "truck.json") == OLD


# ---- the window


@pytest.fixture
def path(window: MainWindow, tmp_path: Path) -> Path:
    """A file that is open in the window, with an unsaved edit."""
    made = tmp_path / "truck.json"
    write_build(made, OLD)
    window.filing.open_path(made)
    window.document.apply({"title": "mine"}, "title")
    return made


def answering(monkeypatch: pytest.MonkeyPatch, *answers: str, then: Callable[[], object] = lambda: None) -> list[str]:
    """Answer the question about a changed file, and note what was asked."""
    asked: list[str] = []
    left = list(answers)

    def answered(_: object, path: Path, differs: str, *, gone: bool, theirs: bool) -> str:
        asked.append(f"{path.name}|{differs}|{'gone' if gone else 'there'}|{'theirs' if theirs else ''}")
        then()
        return left.pop(0)

    monkeypatch.setattr(asking, "what_about_changed", answered)
    return asked


def test_saving_again_and_again_asks_nothing(window: MainWindow, path: Path) -> None:
    for title in "abc":
        window.document.apply({"title": title}, "title")
        assert window.filing.save()
        assert read_build(path).title == title


def test_doing_nothing_leaves_both(window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_build(path, edited(THEIRS, {"axle.ratio": 4.1}))
    asked = answering(monkeypatch, "cancel")
    assert not window.filing.save()
    assert asked == ["truck.json|Yours and theirs differ in 2 entries: Title, Axle ratio.|there|theirs"]
    assert read_build(path).title == "theirs"
    assert window.document.build == MINE
    assert window.isWindowModified()


def test_keeping_mine_writes_it_over_theirs(window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_build(path, THEIRS)
    asked = answering(monkeypatch, "mine")
    assert window.filing.save()
    assert read_build(path) == MINE
    assert not window.isWindowModified()
    assert window.filing.save()
    assert len(asked) == 1


def test_a_change_during_the_question_is_asked_about_too(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_build(path, THEIRS)
    titles = iter(("later", "later"))
    asked = answering(monkeypatch, "mine", "cancel", then=lambda: write_build(path, Build(title=next(titles))))
    assert not window.filing.save()
    assert len(asked) == 2
    assert read_build(path).title == "later"


def test_taking_theirs_is_an_opening(window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy = window.keeper.keep()
    write_build(path, THEIRS)
    answering(monkeypatch, "theirs")
    assert not window.filing.save()
    assert window.document.build == THEIRS
    assert not window.isWindowModified()
    assert not window.document.stack.canUndo()
    assert not window.document.stack.canRedo()
    assert copy is not None
    assert not copy.exists()
    assert read_build(path) == THEIRS
    window.document.apply({"title": "next"}, "title")
    assert window.filing.save()
    assert read_build(path).title == "next"


def test_saving_elsewhere_leaves_theirs(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_build(path, THEIRS)
    answering(monkeypatch, "elsewhere")
    monkeypatch.setattr(asking, "where_to_save", lambda *_: tmp_path / "mine.json")
    assert window.filing.save()
    assert (read_build(path), read_build(tmp_path / "mine.json")) == (THEIRS, MINE)
    assert window.document.path == tmp_path / "mine.json"
    assert window.filing.save()


@pytest.mark.parametrize("content", [b"{", b"", b'{"axle": {"ratio": -1}}', b"\xff"])
def test_theirs_is_not_offered_where_it_cannot_be_opened(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    path.write_bytes(content)
    asked = answering(monkeypatch, "cancel", "mine")
    assert not window.filing.save()
    assert "cannot be opened" in asked[0]
    assert asked[0].endswith("|there|")
    assert path.read_bytes() == content
    assert window.filing.save()
    assert read_build(path) == MINE


def test_the_same_build_otherwise_written_is_no_reason_to_ask(window: MainWindow, path: Path) -> None:
    path.write_text('{"title":"mine"}', encoding="utf-8")
    assert window.filing.save()
    assert read_build(path) == MINE


@pytest.mark.parametrize("way", ["removed", "renamed"])
def test_a_file_that_went_away_is_asked_about(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    if way == "removed":
        path.unlink()
    else:
        path.rename(tmp_path / "renamed.json")
    asked = answering(monkeypatch, "cancel", "mine")
    assert not window.filing.save()
    assert asked == ["truck.json||gone|"]
    assert not path.exists()
    assert window.isWindowModified()
    assert window.filing.save()
    assert read_build(path) == MINE
    if way == "renamed":
        assert read_build(tmp_path / "renamed.json") == OLD


def test_a_folder_that_went_away_keeps_the_work_in_the_window(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "deep" / "truck.json"
    path.parent.mkdir()
    write_build(path, OLD)
    window.filing.open_path(path)
    window.document.apply({"title": "mine"}, "title")
    shutil.rmtree(path.parent)
    asked = answering(monkeypatch, "mine", "elsewhere")
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    assert not window.filing.save()
    assert "there is no folder" in str(told)
    assert window.isWindowModified()
    monkeypatch.setattr(asking, "where_to_save", lambda *_: tmp_path / "else.json")
    assert window.filing.save()
    assert len(asked) == 2
    assert read_build(tmp_path / "else.json") == MINE


@pytest.mark.parametrize("step", ["write_bytes", "replace", "open"])
def test_a_full_disk_leaves_the_old_file_and_the_work(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    was = getattr(Path, step)

    def fail(self: Path, *words: object, **more: object) -> object:
        if self.name.startswith(".truck-") and words != ("rb+",):
            raise OSError(28, "No space left on device")
        return was(self, *words, **more)

    with monkeypatch.context() as full:
        full.setattr(Path, step, fail)
        assert not window.filing.save()
    assert "no space left" in str(told)
    assert read_build(path) == OLD
    assert window.isWindowModified()
    assert [file for file in path.parent.iterdir() if file.name.startswith(".truck-")] == []
    assert window.filing.save()


@pytest.mark.skipif(sys.platform == "win32", reason="links and permission bits of Unix")
def test_links_and_permissions_stay(window: MainWindow, tmp_path: Path) -> None:
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    write_build(real, OLD)
    real.chmod(0o640)
    link.symlink_to(real)
    window.filing.open_path(link)
    window.document.apply({"title": "mine"}, "title")
    assert window.filing.save()
    assert link.is_symlink()
    assert read_build(real) == MINE
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert window.document.path == link


def test_a_write_protected_file_is_left_and_said(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    monkeypatch.setattr(files, "access", lambda *_: False)  # permission bits do not bind root
    assert not window.filing.save()
    assert "write-protected" in str(told)
    assert read_build(path) == OLD
    assert window.isWindowModified()


def test_two_windows_on_one_file_ask_before_either_is_lost(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> None:
    held = read_held(path)
    other = MainWindow(held.build, path, held.digest)
    other.document.apply({"title": "theirs"}, "title")
    assert other.filing.save()
    asked = answering(monkeypatch, "theirs", "mine")
    assert not window.filing.save()
    assert window.document.build == THEIRS
    window.document.apply({"title": "mine"}, "title")
    assert window.filing.save()
    assert len(asked) == 1
    other.document.apply({"title": "other"}, "title")
    assert other.filing.save()
    assert len(asked) == 2
    assert read_build(path).title == "other"
    let_go(other)


def test_saving_as_onto_the_own_changed_file_asks_and_onto_another_does_not(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_build(path, THEIRS)
    write_build(tmp_path / "other.json", OLD)
    asked = answering(monkeypatch, "cancel")
    monkeypatch.setattr(asking, "where_to_save", lambda *_: path)
    assert not window.filing.save_as()
    assert len(asked) == 1
    monkeypatch.setattr(asking, "where_to_save", lambda *_: tmp_path / "other.json")  # the file dialog has asked
    assert window.filing.save_as()
    assert read_build(tmp_path / "other.json") == MINE


def test_a_window_that_closes_stays_when_theirs_is_taken(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_build(path, THEIRS)
    monkeypatch.setattr(asking, "what_about_unsaved", lambda *_: "save")
    answering(monkeypatch, "theirs")
    assert not window.close()
    assert window.isVisible()
    assert window.document.build == THEIRS


def test_a_file_named_at_the_start_is_watched_too(
    program: Callable[[Path, Callable[[MainWindow], None]], int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "named.json"
    write_build(path, OLD)
    left = tmp_path / ".named-0123456789ab.json"
    left.write_text("{", encoding="utf-8")
    os.utime(left, (1, 1))
    saved: list[bool] = []

    def work(other: MainWindow) -> None:
        other.document.apply({"title": "mine"}, "title")
        saved.append(other.filing.save())
        write_build(path, THEIRS)
        saved.append(other.filing.save())

    asked = answering(monkeypatch, "cancel")
    assert program(path, work) == 0
    assert saved == [True, False]
    assert len(asked) == 1
    assert not left.exists()


def test_a_copy_of_a_file_that_changed_since_asks_when_it_is_saved(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = read_held(path)
    killed = Document(held.build, path, as_read=held.digest)
    killed.apply({"title": "mine"}, "title")
    keeper = Keeper(killed, window.keeper.file.parent)
    keeper.keep()
    keeper.release()
    write_build(path, THEIRS)
    window.document.stack.setClean()
    monkeypatch.setattr(asking, "which_copy", lambda _, copies: copies[0])
    assert window.offer_kept()
    asked = answering(monkeypatch, "cancel")
    assert not window.filing.save()
    assert len(asked) == 1


# ---- the questions themselves


def pressing(act: Callable[[QDialog], object]) -> list[QDialog]:
    """Do something with the question that comes up next."""
    seen: list[QDialog] = []

    def now() -> None:
        page = QApplication.activeModalWidget()
        assert isinstance(page, QDialog)
        seen.append(page)
        try:
            for label in page.findChildren(QLabel):
                assert label.textFormat() == Qt.TextFormat.PlainText or not label.text()
            act(page)
        finally:
            page.close()

    QTimer.singleShot(0, now)
    return seen


def button(page: QWidget, words: str) -> QAbstractButton:
    [found] = [one for one in page.findChildren(QAbstractButton) if words in one.text().replace("&", "")]
    return found


def ask_changed(window: MainWindow, path: Path, *, gone: bool = False, theirs: bool = True) -> str:
    return asking.what_about_changed(window, path, "They differ in <b>1</b> entry.", gone=gone, theirs=theirs)


@pytest.fixture
def real(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    """The window with its true questions."""
    monkeypatch.undo()
    return window


@pytest.mark.parametrize(
    ("words", "answer"),
    [("Keep mine", "mine"), ("Take theirs", "theirs"), ("another name", "elsewhere"), ("Cancel", "cancel")],
)
def test_each_way_has_its_button_and_says_what_it_does(
    real: MainWindow, tmp_path: Path, words: str, answer: str
) -> None:
    pressing(lambda page: button(page, words).click())
    assert ask_changed(real, tmp_path / "<b>x</b>.json") == answer


def test_escape_does_nothing_and_enter_loses_nothing(real: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    pressing(lambda page: qtbot.keyClick(page, Qt.Key.Key_Escape))
    assert ask_changed(real, tmp_path / "x.json") == "cancel"
    pressing(lambda page: page.close())
    assert ask_changed(real, tmp_path / "x.json") == "cancel"
    pressing(lambda page: qtbot.keyClick(page, Qt.Key.Key_Return))
    assert ask_changed(real, tmp_path / "x.json") == "elsewhere"


def test_only_ways_that_can_be_gone_are_offered(real: MainWindow, tmp_path: Path) -> None:
    offered: list[str] = []

    def note(page: QDialog) -> None:
        offered.append(" ".join(one.text().replace("&", "") for one in page.findChildren(QAbstractButton)))
        page.close()

    for place, gone, theirs in ((tmp_path, True, False), (tmp_path / "gone", True, False), (tmp_path, False, False)):
        pressing(note)
        ask_changed(real, place / "x.json", gone=gone, theirs=theirs)
    assert ["Write it there again" in one for one in offered] == [True, False, False]
    assert ["Keep mine" in one for one in offered] == [False, False, True]
    assert not any("theirs" in one for one in offered)


@pytest.mark.parametrize(("words", "sure"), [("Throw it away", True), ("Keep it", False), ("", False)])
def test_a_copy_goes_only_by_its_button(real: MainWindow, qtbot: QtBot, words: str, sure: bool) -> None:
    pressing(lambda page: button(page, words).click() if words else qtbot.keyClick(page, Qt.Key.Key_Escape))
    assert asking.whether_to_throw_away(real, "<i>x</i>") is sure


@pytest.mark.parametrize(("words", "answer"), [("Save", "save"), ("Discard", "discard"), ("", "cancel")])
def test_unsaved_work_goes_only_by_its_button(real: MainWindow, qtbot: QtBot, words: str, answer: str) -> None:
    pressing(lambda page: button(page, words).click() if words else qtbot.keyClick(page, Qt.Key.Key_Escape))
    assert asking.what_about_unsaved(real, "<i>x</i>", 2) == answer


def test_what_is_told_is_plain_text(real: MainWindow) -> None:
    seen = pressing(lambda page: page.close())
    asking.tell(real, "title", "<img src='x'>", "<b>more</b>", "details")
    assert isinstance(seen[0], QMessageBox)


@pytest.mark.parametrize(("words", "replaced"), [("Replace it", True), ("Cancel", False), ("", False)])
@pytest.mark.parametrize("save", [True, False])
def test_a_name_that_is_completed_replaces_no_file_unasked(
    real: MainWindow,
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
    words: str,
    replaced: bool,
    save: bool,
) -> None:
    suffix = ".json" if save else ".pdf"
    there = (tmp_path / "truck").with_suffix(suffix)
    there.write_text("{}", encoding="utf-8")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "truck"), ""))
    pressing(lambda page: button(page, words).click() if words else qtbot.keyClick(page, Qt.Key.Key_Escape))
    asked = asking.where_to_save(real, there) if save else asking.where_to_write(real, "Sheet", there, "PDF (*.pdf)")
    assert asked == (there if replaced else None)
    there.unlink()
    asked = asking.where_to_save(real, there) if save else asking.where_to_write(real, "Sheet", there, "PDF (*.pdf)")
    assert asked == there


def test_newer_files_are_left_untouched_though_they_changed(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path.write_text('{"format": 9}', encoding="utf-8")
    told: list[tuple[object, ...]] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.append(words))
    assert not window.filing.save()
    assert "newer version" in str(told)
    with pytest.raises(FileTrouble):
        write_build(path, MINE)
    assert path.read_text(encoding="utf-8") == '{"format": 9}'
