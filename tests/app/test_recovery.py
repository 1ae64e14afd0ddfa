"""Copies of unsaved work: written in time, offered whole, and never another window's."""

import json
import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QLockFile, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QDialog
from pytestqt.qtbot import QtBot

from app.files import build_text, write_build
from app.window.document import Document
from app.window.keeping import asking, kept_page, recovery
from app.window.keeping.kept_page import KeptPage
from app.window.keeping.recovery import Copy, Keeper, left_copies
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, value_at

SLOPE = "axle.pinion_slope_deg"


class HandClock(QObject):
    """Stands in for QTimer: its time passes when the test says so."""

    timeout = Signal()
    now_ms = 0
    made: "list[HandClock]" = []  # noqa: RUF012  (emptied by each test)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._interval = 0
        self.due: int | None = None
        HandClock.made.append(self)

    def setSingleShot(self, once: bool) -> None:
        assert once

    def setInterval(self, interval: int) -> None:
        self._interval = interval

    def isActive(self) -> bool:
        return self.due is not None

    def remainingTime(self) -> int:
        return -1 if self.due is None else max(0, self.due - HandClock.now_ms)

    def start(self) -> None:
        self.due = HandClock.now_ms + self._interval

    def stop(self) -> None:
        self.due = None

    @classmethod
    def pass_to(cls, now_ms: int) -> None:
        cls.now_ms = now_ms
        for one in cls.made:
            if one.due is not None and one.due <= now_ms:
                one.due = None
                one.timeout.emit()


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Iterator[type[HandClock]]:
    monkeypatch.setattr(recovery, "QTimer", HandClock)
    HandClock.now_ms = 0
    HandClock.made = []
    yield HandClock
    HandClock.made = []


def kept_by(document: Document, folder: Path) -> Keeper:
    """The copy of a window that ended at once after it was kept."""
    keeper = Keeper(document, folder)
    assert keeper.keep() is not None
    keeper.release()
    return keeper


def document_with(changes: dict[str, object], build: Build | None = None, path: Path | None = None) -> Document:
    document = Document(build, path)
    document.apply(changes, "a change")
    return document


def in_copy(file: Path) -> Build:
    return Build.model_validate_json(json.loads(file.read_text(encoding="utf-8"))["build"])


# ---- written in time


@pytest.mark.parametrize("step_ms", [10, 100, 1_000, 1_900])
def test_the_copy_is_never_more_than_three_seconds_behind(clock: type[HandClock], tmp_path: Path, step_ms: int) -> None:
    document = Document()
    keeper = Keeper(document, tmp_path)
    made: dict[float, int] = {}
    for now in range(0, 14_000, step_ms):
        clock.pass_to(now)
        kept = value_at(in_copy(keeper.file), SLOPE) if keeper.file.exists() else None
        behind = [when for value, when in made.items() if kept is None or value > kept]
        assert not behind or now - min(behind) <= 3_000
        made[now / 1_000] = now
        document.apply({SLOPE: now / 1_000}, "pinion slope")
    keeper.drop()


def test_an_edit_after_a_long_stall_does_not_wait_for_the_timer(clock: type[HandClock], tmp_path: Path) -> None:
    document = Document()
    keeper = Keeper(document, tmp_path)
    document.apply({SLOPE: 1.0}, "pinion slope")
    clock.now_ms = 5_000  # the window was held up: the timer is overdue, and the next edit comes before it
    document.apply({SLOPE: 2.0}, "pinion slope")
    assert value_at(in_copy(keeper.file), SLOPE) == 2.0
    keeper.drop()


def test_work_that_is_unsaved_without_an_edit_gets_a_copy(clock: type[HandClock], tmp_path: Path) -> None:
    document = Document(Build(title="found again"))
    keeper = Keeper(document, tmp_path)
    document.mark_unsaved()
    clock.pass_to(3_000)
    assert in_copy(keeper.file).title == "found again"
    keeper.drop()


def test_a_full_disk_is_said_once_and_tried_again(
    clock: type[HandClock], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = Document()
    keeper = Keeper(document, tmp_path)
    said: list[str] = []
    keeper.troubled.connect(said.append)

    def full(self: Path, *_: object, **__: object) -> None:
        self.write_bytes(b"{")
        raise OSError(28, "No space left on device")

    document.apply({SLOPE: 1.0}, "pinion slope")
    clock.pass_to(3_000)
    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_text", full)
        document.apply({SLOPE: 2.0}, "pinion slope")
        for now in range(4_000, 20_000, 1_000):
            clock.pass_to(now)
    assert said == ["no space left on device"]
    assert value_at(in_copy(keeper.file), SLOPE) == 1.0  # the one of before is whole
    assert list(tmp_path.glob("*.new")) == []
    clock.pass_to(24_000)  # no edit is needed for it
    assert said == ["no space left on device", ""]
    assert value_at(in_copy(keeper.file), SLOPE) == 2.0
    keeper.drop()


def test_a_home_that_takes_no_files_is_said_until_the_work_is_saved(clock: type[HandClock], tmp_path: Path) -> None:
    (tmp_path / "recovery").write_text("a file where the folder would be", encoding="utf-8")
    document = Document()
    keeper = Keeper(document, tmp_path / "recovery")
    said: list[str] = []
    keeper.troubled.connect(said.append)
    document.apply({SLOPE: 1.0}, "pinion slope")
    clock.pass_to(3_000)
    assert len(said) == 1
    document.mark_saved(tmp_path / "truck.json")
    assert said[1:] == [""]


def test_a_lock_that_cannot_be_had_is_trouble_and_is_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = document_with({SLOPE: 1.0})
    keeper = Keeper(document, tmp_path)
    document.mark_unsaved()
    with monkeypatch.context() as patch:
        patch.setattr(QLockFile, "tryLock", lambda *_: False)
        with pytest.raises(OSError, match="takes no files"):
            keeper.keep()
    assert keeper.keep() is not None
    assert left_copies(tmp_path) == []  # it is held
    keeper.drop()


def test_the_window_says_that_no_copy_can_be_kept(window: MainWindow) -> None:
    caution = window.foot.caution.text()
    window.keeper.troubled.emit("no space left on device")
    assert "no space left on device" in window.foot.warned.text()
    assert window.foot.warned.isVisible()
    window.foot.tell("Saved truck.json.")
    window.foot._timer.timeout.emit()  # what was told goes, the warning stays
    assert window.foot.warned.isVisible()
    window.keeper.troubled.emit("")
    assert not window.foot.warned.isVisible()
    assert window.foot.caution.text() == caution


# ---- offered


def test_a_copy_tells_its_time_and_in_what_it_differs(tmp_path: Path) -> None:
    path, folder = tmp_path / "truck.json", tmp_path / "recovery"
    build = Build(title="Farm truck")
    digest = write_build(path, build)
    document = Document(build, path, as_read=digest)
    document.apply({SLOPE: 7.0, "axle.ratio": 4.1}, "two entries")
    kept_by(document, folder)
    [copy] = left_copies(folder)
    assert (copy.name, copy.origin, copy.as_read) == ("truck.json", path, digest)
    assert copy.build == document.build
    assert abs((datetime.now(UTC) - copy.when).total_seconds()) < 3_600
    assert str(copy.when.astimezone().year) in copy.day
    assert copy.differs == "Differs from truck.json in 2 entries: Axle ratio, Pinion slope"
    copy.leave()
    write_build(path, edited(build, {"axle.ratio": 4.1}))
    [copy] = left_copies(folder)
    assert copy.differs == "truck.json was changed since. Differs from truck.json in 1 entry: Pinion slope"
    copy.leave()
    path.unlink()
    [copy] = left_copies(folder)
    assert copy.differs.startswith("truck.json cannot be read: there is no such file. The copy has 3 entries: Title")


def test_a_copy_of_what_the_file_holds_is_not_offered(tmp_path: Path) -> None:
    """As when the window is killed between saving and removing its copy."""
    path, folder = tmp_path / "truck.json", tmp_path / "recovery"
    document = document_with({SLOPE: 7.0}, path=path)
    keeper = kept_by(document, folder)
    write_build(path, document.build)
    assert left_copies(folder) == []
    assert not keeper.file.exists()


def test_a_copy_finds_its_file_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write_build(Path("truck.json"), Build())
    kept_by(document_with({SLOPE: 7.0}, path=Path("truck.json")), tmp_path / "recovery")
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    [copy] = left_copies(tmp_path / "recovery")
    assert copy.origin == tmp_path / "truck.json"


def test_the_latest_copy_comes_first(tmp_path: Path) -> None:
    for year in (2024, 2026, 2025):
        file = kept_by(document_with({"title": str(year)}), tmp_path).file
        tree = json.loads(file.read_text(encoding="utf-8"))
        file.write_text(json.dumps(tree | {"when": f"{year}-05-01T10:00:00+00:00"}), encoding="utf-8")
    assert [copy.name for copy in left_copies(tmp_path)] == ["2026", "2025", "2024"]


BUILD = build_text(Build(title="x"))
WHOLE = {"name": "x", "origin": None, "when": "2026-01-01T10:00:00+00:00", "build": BUILD}
BROKEN: dict[str, bytes] = {
    "empty": b"",
    "half": json.dumps(WHOLE).encode()[:60],
    "not text": b"\xff\xfe\x00",
    "too deep": b"[" * 200_000,
    "a list": b"[]",
    "digits without end": b'{"build": ' + b"9" * 6_000 + b"}",
    "too large": b" " * 13_000_000,
    "no build": json.dumps(WHOLE | {"build": None}).encode(),
    "another build": json.dumps(WHOLE | {"build": '{"format": 99}'}).encode(),
    "no time": json.dumps(WHOLE | {"when": "soon"}).encode(),
    "a time before all calendars": json.dumps(WHOLE | {"when": "0001-01-01T00:00:00+14:00"}).encode(),
    "origin of no kind": json.dumps(WHOLE | {"origin": ["a"]}).encode(),
}


@pytest.mark.parametrize("content", BROKEN.values(), ids=BROKEN.keys())
def test_a_copy_that_cannot_be_read_stays_and_is_listed_as_such(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    folder = window.keeper.file.parent
    folder.mkdir(parents=True)
    broken = folder / "open-1-aa.json"
    broken.write_bytes(content)
    sound = kept_by(document_with({"title": "sound"}), folder).file
    offered: list[Copy] = []
    monkeypatch.setattr(asking, "which_copy", lambda _, copies: offered.extend(copies))
    assert window.offer_kept()
    assert sorted(copy.file for copy in offered) == sorted([broken, sound])
    [bad] = [copy for copy in offered if copy.file == broken]
    assert bad.build is None
    assert "cannot be read" in bad.differs
    assert bad.day
    assert broken.read_bytes() == content
    assert sound.exists()


def test_names_that_no_file_can_have_are_no_trouble(tmp_path: Path) -> None:
    (tmp_path / "open-1-aa.json").write_text(json.dumps(WHOLE | {"origin": "a\0b"}), encoding="utf-8")
    (tmp_path / "open-2-aa.json").mkdir()
    assert len(left_copies(tmp_path)) == 2
    assert left_copies(tmp_path / "nowhere") == []


def test_the_copy_that_is_opened_is_the_windows_own_without_a_gap(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "farm.json"
    digest = write_build(path, Build(title="Farm truck"))
    document = Document(Build(title="Farm truck"), path, as_read=digest)
    document.apply({SLOPE: 7.0}, "pinion slope 7°")
    file = kept_by(document, window.keeper.file.parent).file
    monkeypatch.setattr(asking, "which_copy", lambda _, copies: copies[0])
    with monkeypatch.context() as full:
        full.setattr(Path, "write_text", lambda *_, **__: pytest.fail("the disk is full"))
        assert window.offer_kept()
    assert value_at(window.document.build, SLOPE) == 7.0
    assert (window.document.path, window.document.as_read) == (path, digest)
    assert window.isWindowModified()
    assert not window.document.stack.canUndo()
    assert window.keeper.file == file
    assert file.exists()
    assert left_copies(file.parent) == []
    assert window.filing.save()
    assert not file.exists()


def test_later_is_an_answer(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    files = [kept_by(document_with({"title": name}), window.keeper.file.parent).file for name in "ab"]
    before = window.document.build
    monkeypatch.setattr(asking, "which_copy", lambda *_: None)
    assert window.offer_kept()
    assert window.document.build is before
    assert all(file.exists() for file in files)
    assert len(left_copies(files[0].parent)) == 2


def test_unsaved_work_is_asked_about_before_a_copy_is_opened(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = kept_by(document_with({"title": "kept"}), window.keeper.file.parent).file
    window.document.apply({"title": "open"}, "title")
    monkeypatch.setattr(asking, "which_copy", lambda _, copies: copies[0])
    monkeypatch.setattr(asking, "what_about_unsaved", lambda *_: "cancel")
    window.look_for_kept()
    assert window.document.build.title == "open"
    assert len(left_copies(file.parent)) == 1


def test_that_nothing_is_kept_is_said(window: MainWindow) -> None:
    assert not window.offer_kept()
    [entry] = [action for action in all_actions(window) if "work that was kept" in action.text()]
    entry.trigger()  # type: ignore[attr-defined]
    assert "No unsaved work" in window.foot.told.text()


def all_actions(window: MainWindow) -> list[object]:
    return [action for menu in window.menuBar().actions() for action in menu.menu().actions()]  # type: ignore[union-attr]


# ---- two windows


def test_a_living_window_keeps_what_it_has(tmp_path: Path) -> None:
    document = document_with({SLOPE: 7.0})
    keeper = Keeper(document, tmp_path)
    keeper.keep()
    half = keeper.file.with_suffix(".new")
    half.write_text("{", encoding="utf-8")
    assert left_copies(tmp_path) == []
    assert keeper.file.exists()
    assert half.exists()
    keeper.drop()


def test_what_a_killed_window_had_half_written_is_removed(tmp_path: Path) -> None:
    keeper = kept_by(document_with({SLOPE: 7.0}), tmp_path)
    half = keeper.file.with_suffix(".new")
    alone = tmp_path / "open-1-bb.new"
    half.write_text("{", encoding="utf-8")
    alone.write_text("{", encoding="utf-8")
    (tmp_path / "open-1-cc.lock").write_text("4194399\npython\nnowhere\n", encoding="utf-8")
    [copy] = left_copies(tmp_path)
    assert copy.file == keeper.file
    copy.leave()
    assert {file.name for file in tmp_path.iterdir()} - {"open-1-cc.lock"} == {keeper.file.name}


def test_two_windows_that_start_at_once_do_not_offer_the_same_copy(tmp_path: Path) -> None:
    kept_by(document_with({SLOPE: 7.0}), tmp_path)
    first = left_copies(tmp_path)
    assert len(first) == 1
    assert left_copies(tmp_path) == []
    first[0].leave()
    assert len(left_copies(tmp_path)) == 1


def test_a_copy_is_offered_where_no_lock_can_be_had(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept_by(document_with({SLOPE: 7.0}), tmp_path)
    monkeypatch.setattr(QLockFile, "tryLock", lambda *_: False)
    monkeypatch.setattr(QLockFile, "error", lambda _: QLockFile.LockError.PermissionError)
    [copy] = left_copies(tmp_path)
    assert copy.build is not None
    document = Document(copy.build)
    keeper = Keeper(document, tmp_path)
    keeper.adopt(copy)
    document.mark_unsaved()
    monkeypatch.undo()
    assert keeper.keep() == copy.file
    assert left_copies(tmp_path) == []  # now it is held
    keeper.drop()


def test_a_lock_that_a_power_cut_left_empty_hides_no_copy(tmp_path: Path) -> None:
    keeper = kept_by(document_with({SLOPE: 7.0}), tmp_path)
    lock = keeper.file.with_suffix(".lock")
    lock.touch()
    assert left_copies(tmp_path) == []  # perhaps it is being written this moment
    os.utime(lock, (1, 1))
    assert len(left_copies(tmp_path)) == 1


# ---- the list itself


def copies_in(folder: Path, *names: str) -> list[Copy]:
    for name in names:
        kept_by(document_with({"title": name}), folder)
    return sorted(left_copies(folder), key=lambda copy: copy.name)


def with_page(act: Callable[[KeptPage], None]) -> None:
    def now() -> None:
        page = QApplication.activeModalWidget()
        assert isinstance(page, KeptPage)
        try:
            act(page)
        finally:
            page.close()

    QTimer.singleShot(0, now)


@pytest.mark.parametrize("way", ["escape", "close", "later"])
def test_leaving_the_list_keeps_every_copy(qtbot: QtBot, window: MainWindow, tmp_path: Path, way: str) -> None:
    copies = copies_in(tmp_path / "kept", "a", "b")
    page = KeptPage(window, copies, lambda _: pytest.fail("asked without need"))
    ways = {
        "escape": lambda: qtbot.keyClick(page, Qt.Key.Key_Escape),
        "close": page.close,
        "later": page.later.click,
    }
    with_page(lambda _: ways[way]())
    assert page.ask() is None
    assert all(copy.file.exists() for copy in copies)


def test_the_list_shows_all_as_plain_lines_and_opens_the_chosen_one(window: MainWindow, tmp_path: Path) -> None:
    copies = copies_in(tmp_path / "kept", "<b>a</b>", "b")
    page = KeptPage(window, copies, lambda _: False)
    assert [page.list.item(row).text() for row in range(2)] == [
        f"{copy.name}, {copy.day}\n{copy.differs}" for copy in copies
    ]

    def choose(_: KeptPage) -> None:
        page.list.setCurrentRow(1)
        page.take.click()

    with_page(choose)
    assert page.ask() is copies[1]


def test_the_arrows_choose_in_the_list_at_once(qtbot: QtBot, window: MainWindow, tmp_path: Path) -> None:
    copies = copies_in(tmp_path / "kept", "a", "b")
    page = KeptPage(window, copies, lambda _: False)

    def choose(_: KeptPage) -> None:
        focus = page.focusWidget()
        assert focus is not None
        qtbot.keyClick(focus, Qt.Key.Key_Down)
        page.take.click()

    with_page(choose)
    assert page.ask() is copies[1]


def test_a_copy_is_thrown_away_only_when_that_is_meant(window: MainWindow, tmp_path: Path) -> None:
    copies = copies_in(tmp_path / "kept", "a", "b")
    sure: list[str] = []
    page = KeptPage(window, copies, lambda copy: sure.append(copy.name) or len(sure) != 1)
    page.away.click()
    assert sure == ["a"]
    assert copies[0].file.exists()
    page.away.click()
    assert not copies[0].file.exists()
    assert page.list.count() == 1
    page.away.click()
    assert page.result() == QDialog.DialogCode.Rejected
    assert list((tmp_path / "kept").iterdir()) == []


def test_an_unreadable_copy_can_only_be_left_or_thrown_away(window: MainWindow, tmp_path: Path) -> None:
    (tmp_path / "open-1-aa.json").write_text("{", encoding="utf-8")
    copies = left_copies(tmp_path)
    page = KeptPage(window, copies, lambda _: False)
    assert not page.take.isEnabled()
    assert page.away.isEnabled()
    page.list.itemActivated.emit(page.list.item(0))
    assert page.isHidden()
    assert page._chosen is None


def test_a_long_list_stays_within_a_small_screen(window: MainWindow, tmp_path: Path) -> None:
    copies = copies_in(tmp_path / "kept", *(f"{'a very long name ' * 8}{number}" for number in range(9)))
    page = KeptPage(window, copies, lambda _: False)
    assert page.sizeHint().height() <= 680
    assert page.sizeHint().width() <= 1240
    assert page.list.count() > kept_page._MOST_SHOWN
