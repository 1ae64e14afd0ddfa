"""Choices of the form: all have words of their own, and what may stay open can be left or made open again."""

from collections.abc import Mapping
from itertools import product
from pathlib import Path

import pytest
from pydantic import ValidationError
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from app.measuring.entries import CHOICE_WORDS, Entry, choice_words
from app.measuring.sections import HEADINGS, KINDS, contents, flat, part_of
from app.window.document import Document
from app.window.form.choice_rows import ChoiceRow, Chooser
from app.window.form.field_sentence import sentence_for
from app.window.form.rows import Hands
from app.window.form.section_box import SectionBox
from app.window.form.typed_rows import NumberRow, PointRow
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, value_at

OUTLINE = ((0.0, 0.0), (1.0, 1.0), (2.0, 0.0))
CHOSEN = {"shaft.front_joint.series": "1350", "obstacles.0": {"outline_mm": OUTLINE, "carries": "fuel"}}


ENDS = (("flange", "flange"), ("caps", "clips"), ("spline", "spline"))
"""What may be on the shaft, and on the vehicle."""


def all_entries() -> list[Entry]:
    """Every entry that the form can show, whichever kinds of suspension, shaft and ends are chosen."""
    found: dict[str, Entry] = {}
    for suspension in KINDS["suspension"]:
        for shaft, (ours, theirs) in product(KINDS["shaft"], ENDS):
            build = edited(
                Build(),
                {
                    "axle.end": "front",  # which has all that a rear one has, and caster
                    "suspension": {"kind": suspension},
                    "shaft": {"kind": shaft},
                    **{f"shaft.{end}_end.type": ours for end in ("front", "rear")},
                    **{f"{end}_end.type": theirs for end in ("powertrain.output", "axle.pinion")},
                    "tube_stock.0": {},
                    "shocks.0": {},
                    "torque_bars.0": {},
                    "obstacles.0": {"outline_mm": OUTLINE},
                },
            )
            for heading in HEADINGS:
                found |= {entry.path: entry for entry in flat(contents(build, heading.key))}
    return list(found.values())


@pytest.mark.parametrize("entry", all_entries(), ids=lambda entry: entry.path)
def test_every_entry_of_the_form_has_title_and_help_and_its_choices_have_words(entry: Entry) -> None:
    assert entry.title
    assert entry.help
    words = [choice_words(choice) for choice in entry.choices]
    assert len(set(words)) == len(words)
    for choice, word in zip(entry.choices, words, strict=True):
        assert word
        assert not isinstance(choice, str) or choice in CHOICE_WORDS or choice.isdecimal()


def test_the_plan_shows_its_entries_in_the_rows_that_fit_them(qtbot: QtBot) -> None:
    plan = next(heading for heading in HEADINGS if heading.key == "plan")
    box = SectionBox(plan, Hands(lambda _changes, _text: None, lambda _entry: None))
    qtbot.addWidget(box)
    box.set_open(opened=True)
    kinds = {row.entry.path.removeprefix("plan."): type(row) for row in box.rows}
    assert {kinds[name] for name in ("perches", "mounts")} == {ChoiceRow}
    assert {kinds[name] for name in ("pinion_slope_deg", "powertrain_slope_deg", "lateral_link_longer_mm")} == {
        NumberRow
    }
    assert kinds["powertrain_shift_mm"] is PointRow
    shift = box.row_for("plan.powertrain_shift_mm")
    assert shift is not None
    assert shift.entry.axes == ("rearward", "up")
    assert part_of("plan.lateral_link_longer_mm") == "lateral_link"


@pytest.mark.parametrize(
    ("path", "open_at_first", "words", "value"),
    [
        ("plan.perches", "welded on", "loose", "loose"),
        ("plan.mounts", "fixed", "loose", "loose"),
        ("suspension.rigid", "no", "yes", True),
        ("shaft.front_joint.series", "not stated", "1410", "1410"),
        ("obstacles.0.carries", "not stated", "brake lines", "brakes"),
    ],
)
def test_a_choice_is_shown_taken_and_undone(
    qtbot: QtBot, path: str, open_at_first: str, words: str, value: str | bool
) -> None:
    document = Document(
        edited(
            Build(),
            {
                "suspension": {"kind": "links"},
                "plan": {},
                "shaft.front_joint": {},
                "obstacles.0": {"outline_mm": OUTLINE},
            },
        )
    )
    box = chooser(qtbot, document, path)
    assert box.currentText() == open_at_first
    pick(box, words)
    assert value_at(document.build, path) == value
    document.stack.undo()
    assert value_at(document.build, path) != value


@pytest.mark.parametrize("path", ["shaft.front_joint.series", "obstacles.0.carries"])
def test_what_may_stay_open_can_be_made_open_again(qtbot: QtBot, path: str) -> None:
    document = Document(edited(Build(), CHOSEN))
    box = chooser(qtbot, document, path)
    assert box.currentText() == choice_words(value_at(document.build, path))
    pick(box, "not stated")
    assert value_at(document.build, path) is None
    assert document.stack.undoText().endswith(f"clearing {entry_of(path).title.lower()}")


def test_a_wedge_keeps_the_perches_from_being_called_loose_and_the_row_says_why(qtbot: QtBot) -> None:
    document = Document(edited(Build(), {"plan.axle_shim_deg": 2.0}))
    row = row_of(qtbot, document, "plan.perches")
    pick(row.box, "loose")
    assert value_at(document.build, "plan.perches") == "welded"
    assert row.complaint.text() == (
        "Wedge at the perches must be 0 where the perches are loose; "
        "turn the pinion with the pinion slope to weld at instead."
    )
    assert row.box.currentText() == "welded on"
    document.apply({"plan.axle_shim_deg": None}, "clearing wedge")
    row.show_build(document.build)
    assert row.complaint.isHidden()
    pick(row.box, "loose")
    assert value_at(document.build, "plan.perches") == "loose"


def entry_of(path: str) -> Entry:
    return next(entry for entry in all_entries() if entry.path == path)


def row_of(qtbot: QtBot, document: Document, path: str) -> ChoiceRow:
    def take(changes: Mapping[str, object], text: str) -> str | None:
        try:
            document.apply(changes, text)
        except ValidationError as error:
            return sentence_for(error, document.build.display)
        return None

    row = ChoiceRow(entry_of(path), Hands(take, lambda _entry: None))
    qtbot.addWidget(row)
    row.show_build(document.build)
    return row


def chooser(qtbot: QtBot, document: Document, path: str) -> QComboBox:
    return row_of(qtbot, document, path).box


def pick(box: QComboBox, words: str) -> None:
    """Choose as a person does, by the word."""
    index = box.findText(words)
    assert index >= 0
    box.setCurrentIndex(index)
    box.activated.emit(index)


def test_a_number_typed_on_a_choice_by_mistake_chooses_nothing(qtbot: QtBot, window: MainWindow) -> None:
    """A joint's series begin with digits: one typed for the next field would choose another joint unseen."""
    window.filing.open_sample(Path("sample_builds") / "ranch_truck_swap.json")
    pane, document = window.measurements, window.document
    for path in ("shaft.front_joint.series", "shaft.front_joint.type", "suspension.kind"):
        pane.bring_forward(path, focus=True)
        box = QApplication.focusWidget()
        assert isinstance(box, Chooser)
        before = document.build, box.currentIndex()
        for key in (Qt.Key.Key_1, Qt.Key.Key_3, Qt.Key.Key_0):
            qtbot.keyClick(box, key)
        assert (document.build, box.currentIndex()) == before
        assert document.stack.isClean()
