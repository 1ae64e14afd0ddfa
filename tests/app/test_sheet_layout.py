"""The sheet on paper: nothing over anything else or outside the margins, all of it there, large enough to read."""

from dataclasses import replace
from itertools import pairwise

import pytest
from pytestqt.qtbot import QtBot

from app.cautions import CAUTIONS
from app.drawing.board import Board
from app.drawing.fonts import width
from app.drawing.items import Box, Page, Shape, Words
from app.drawing.palette import contrast
from app.drawing.wording import numbered
from app.measuring.sections import is_begun
from app.setpoints import SetPoint, ordered_for, set_points
from app.sheet.blocks import LOW_ROW, VALUE_PTS, _named, _Row
from app.sheet.checks import checks_of
from app.sheet.findings import names_of
from app.sheet.flow import BODY_PT, PAPER, lines
from app.sheet.order import shaft_order
from app.sheet.pages import sheet_of
from app.sheet.paper import SIZES, PaperName
from geometry import solve
from geometry.document import value_at
from tests.app.sheets import (
    CASES,
    HAULER,
    RANCH,
    Case,
    box_of,
    case_of,
    count_of,
    empty_boxes,
    items_of,
    sample,
    shapes,
    text_of,
    words_of,
    worse,
)

SMALLEST_PT = 8.0
HAIR_PX = 0.3
every_case = pytest.mark.parametrize("case", CASES, ids=lambda case: ", ".join(filter(None, case)))


@pytest.fixture(autouse=True)
def application(qtbot: QtBot) -> None:
    """Words are measured by Qt."""


@pytest.fixture
def one(case: tuple[str, str, PaperName], qapp: object) -> Case:
    """The sheet of a case."""
    assert qapp
    return case_of(*case)


def clash(one: Box, other: Box) -> bool:
    """Whether two boxes share more than a hair; letters rarely fill theirs."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > HAIR_PX and down > 1.0


@every_case
def test_no_words_lie_over_words_or_boxes_and_no_line_runs_through_them(one: Case) -> None:
    for page in one.sheet.pages:
        told = sorted(
            ((box_of(words), words.text) for words in words_of(page, drawing=True)), key=lambda pair: pair[0][1]
        )
        for number, (box, text) in enumerate(told):
            for other, second in told[number + 1 :]:
                if other[1] > box[3]:
                    break
                assert not clash(box, other), (text, second)
        own = [(box_of(words), words.text) for words in words_of(page)]
        for here, text in own:
            assert not any(clash(here, box) for box in empty_boxes(page)), text
            for item in items_of(page, drawing=False):
                if isinstance(item, Shape) and not item.closed:
                    left, y, right, _ = box_of(item)
                    through = here[0] < right and left < here[2] and here[1] + 1.0 < y < here[3] - 2.5
                    assert not through, text


@every_case
def test_nothing_leaves_the_margins(one: Case) -> None:
    sheet = one.sheet
    left, top, right, bottom = sheet.frame
    wide, high = SIZES[one.paper]
    assert min(left, top, wide - right, high - bottom) >= 96.0 / 4.0  # what printers cannot reach
    for page in sheet.pages:
        for layer in page.layers:
            for box in [layer.box] if layer.box else [box_of(item) for item in layer.items]:
                assert box[0] >= left - HAIR_PX - 0.5  # half a line's width
                assert box[1] >= top - HAIR_PX - 0.5
                assert box[2] <= right + HAIR_PX + 0.5
                assert box[3] <= bottom + HAIR_PX + 0.5


@every_case
def test_no_type_is_smaller_than_8_pt_or_too_pale_for_paper(one: Case) -> None:
    for page in one.sheet.pages:
        for words in words_of(page, drawing=True):
            assert words.pt >= SMALLEST_PT, words.text
        for words in words_of(page):
            assert contrast(words.colour, "#FFFFFF") >= 4.5, words.text


@every_case
def test_the_drawing_has_a_third_of_the_page_to_itself(one: Case) -> None:
    sheet = one.sheet
    left, top, right, bottom = sheet.drawing
    wide, high = SIZES[one.paper]
    assert (right - left) * (bottom - top) >= wide * high / 3.0 - 1.0
    for item in items_of(sheet.pages[0], drawing=False):
        assert not clash(box_of(item), tuple(sheet.drawing)), item  # type: ignore[arg-type]
    drawn = [words for words in words_of(sheet.pages[0], drawing=True) if words not in words_of(sheet.pages[0])]
    assert drawn
    for words in drawn:
        box = box_of(words)
        assert top - 1.0 <= box[1] < box[3] <= bottom + 1.0


@every_case
def test_every_finding_is_told_once_and_has_its_verdicts_shape(one: Case) -> None:
    text, names = text_of(one.sheet), names_of(one.solution)
    listed = text.partition("What the findings say")[0]
    assert len(set(names.values())) == len(one.solution.findings)
    for number, finding in numbered(one.solution):
        name = " ".join(lines(f"{number} {names[finding.id, finding.part]}", 9.0, 150.0, bold=True))
        if max(map(len, name.split())) < 20:  # a longer word is broken where its column ends
            assert count_of(name, listed) == 1, name
        assert shapes(one.sheet, finding.verdict) >= 1
    counts = dict.fromkeys(("hold", "caution"), 0)
    for _, finding in numbered(one.solution):
        counts[finding.verdict] += 1
    for verdict, count in counts.items():
        badge = one.solution.verdict == verdict
        assert shapes(one.sheet, verdict) == 2 * count + badge, verdict  # in the list, and before its sentence
    clear = [finding for finding in one.solution.findings if finding.verdict == "clear"]
    said = text.partition(f"Clear ({len(clear)})")[2]
    for finding in clear:
        if len(finding.title) < 40:
            assert names[finding.id, finding.part] in said
    rest = not numbered(one.solution) and not any(f.verdict == "unknown" for f in one.solution.findings) and bool(clear)
    assert shapes(one.sheet, "clear") == len(clear) + (one.solution.verdict == "clear") + rest
    for finding in one.solution.findings:
        if finding.verdict == "unknown":
            name = names[finding.id, finding.part]
            assert count_of(name, listed) + count_of(name[:1].lower() + name[1:], listed) >= 1


def test_two_findings_of_one_title_are_told_apart() -> None:
    solution = solve(sample(HAULER))
    names = names_of(solution)
    reach = [name for (id_, _), name in names.items() if id_ == "joint_bind"]
    assert reach == ["Joint short of reach, front joint", "Joint short of reach, rear joint"]
    one = next(finding for finding in solution.findings if finding.id == "joint_bind")
    twins = replace(
        solution, findings=tuple(replace(one, id=f"gap_{number}", title="Gap to pipe") for number in (1, 2))
    )
    assert list(names_of(twins).values()) == ["Gap to pipe, front joint 1", "Gap to pipe, front joint 2"]


@every_case
def test_set_points_stand_large_with_three_boxes_each_and_what_changes_first(one: Case) -> None:
    first = one.sheet.pages[0]
    rows = set_points(one.build, one.solution)
    tall = [box for page in one.sheet.pages for box in empty_boxes(page) if box[2] - box[0] > 20.0]
    assert len(tall) == 3 * len(rows)
    for box in tall:
        assert box[2] - box[0] >= 45.0
        assert box[3] - box[1] >= 17.0
    for boxes in (sorted(row) for row in by_row(tall)):
        assert all(left[2] < right[0] for left, right in pairwise(boxes))
    text = text_of(one.sheet)
    for row in rows:
        if row.value:
            assert any(words.text == row.value and words.bold and 14.0 <= words.pt <= 16.0 for page in one.sheet.pages
                       for words in words_of(page)), row  # fmt: skip
        assert row.label.split(": ")[-1] in text
        for told in (row.note.strip("()"), row.now and f"now {row.now}", row.wants):
            assert " ".join(told.split()) in text
    order = [words.text for words in words_of(first) if words.text in {row.label for row in rows}]
    changes = {row.label: row.changes for row in rows}
    assert [changes[label] for label in order] == sorted((changes[label] for label in order), reverse=True)


def by_row(boxes: list[Box]) -> list[list[Box]]:
    rows: dict[float, list[Box]] = {}
    for box in boxes:
        rows.setdefault(round(box[1], 1), []).append(box)
    assert all(len(row) == 3 for row in rows.values())
    return list(rows.values())


@every_case
def test_checks_and_cautions_are_whole_on_the_first_page_and_the_order_on_one_of_them(one: Case) -> None:
    first, text = text_of(one.sheet, 0), text_of(one.sheet)
    for caution in CAUTIONS:
        assert caution in first
    checks = checks_of(links=value_at(one.build, "suspension.kind") == "links")
    ticks = [box for box in empty_boxes(one.sheet.pages[0]) if box[2] - box[0] < 20.0]
    assert len(ticks) == sum(len(boxes) for _, boxes in checks)
    for stage, boxes in checks:
        for words in (stage, *boxes):
            assert words in first
    for name, words in shaft_order(*ordered_for(one.build, one.solution)):
        assert f"{name} {words}" in text
    for words in ("set by", "checked by", one.solution.says, "before", "tacked", "welded"):
        assert words in first


@every_case
def test_sentences_bases_and_notes_are_whole(one: Case) -> None:
    text = text_of(one.sheet)
    letters = "".join(text.split())
    for _, finding in numbered(one.solution):
        assert "".join(finding.says.split()) in letters
        assert "".join(finding.basis.split()) in letters
    for line in set(one.build.notes.splitlines()):
        if " " in line:
            assert text.count(line) == one.build.notes.count(line)
        else:  # as long as several lines: broken, but whole
            assert sum(len(word) for word in text.split() if set(word) == {"x"}) == len(line)
    if len(one.sheet.pages) > 1:  # whole there, if it is cut on the first page
        assert "".join(one.build.title.split()) in "".join(text_of(one.sheet, 1).split())


@every_case
def test_each_page_says_which_of_how_many_it_is(one: Case) -> None:
    sheet = one.sheet
    count = len(sheet.pages)
    assert count >= 2
    assert "1 of " + f"{count}: enough at the vehicle" in text_of(sheet, 0)
    for number in range(1, count):
        assert f"{number + 1} of {count}" in text_of(sheet, number)


@every_case
def test_nothing_is_cut_without_three_dots_and_never_a_number(one: Case) -> None:
    cut = [words.text for page in one.sheet.pages for words in words_of(page) if words.text.endswith("…")]
    assert len(cut) <= 1
    for text in cut:
        assert text[:-1] in one.build.title
    assert "… · " in text_of(one.sheet, 0)  # the long file name, cut before the date
    assert "9 Mar 2025" in text_of(one.sheet, 0)


def test_what_does_not_fit_on_the_first_page_is_announced_there() -> None:
    solution = worse(solve(sample()), 40)
    sheet = sheet_of(sample(), solution)
    first = text_of(sheet, 0)
    told = sum(f"{number} {names_of(solution)[one.id, one.part]}" in first for number, one in numbered(solution))
    assert 0 < told < 40
    assert f"… {40 - told} more on page 2" in first


@pytest.mark.parametrize("case", [case for case in CASES if case[1]], ids=", ".join)
def test_a_sample_has_two_pages_and_all_that_holds_or_warns_and_is_to_be_set_on_the_first(one: Case) -> None:
    # With what to buy and how far off it may be; of a torque bar with what the limits rest on, on the shorter paper.
    more = is_begun(one.build, "set_up") or (bool(one.build.torque_bars) and one.sheet.pages[0].height < 1100.0)
    assert len(one.sheet.pages) == (3 if more else 2)
    first = text_of(one.sheet, 0)
    for number, finding in numbered(one.solution):
        assert f"{number} {names_of(one.solution)[finding.id, finding.part]}" in first
    for row in set_points(one.build, one.solution):
        page = text_of(one.sheet) if row.spare else first  # what is measured anyway yields first
        assert f"{row.label.split(': ')[-1]} " in page
        assert row.value in page


def test_the_remedy_that_is_set_is_told_once_and_elsewhere_by_what_it_comes_to() -> None:
    build = sample(HAULER)
    solution = solve(build)
    remedy = next(one.remedy for one in solution.findings if one.remedy is not None)
    sheet = sheet_of(build, solution)
    text = text_of(sheet)
    assert text.count(remedy.says) == 1
    assert remedy.says in text_of(sheet, 1)
    slope = next(one for one in solution.findings if one.id == "shaft_slope")
    assert slope.remedy is not None
    assert slope.remedy.after is not None
    assert f"{slope.value:.1f}°, most 7.0° → {slope.remedy.after:.1f}° as set" in text_of(sheet, 0)


def test_where_there_is_room_the_drawing_grows_and_there_are_lines_to_write_on() -> None:
    tight, loose = case_of(HAULER.stem, "inch", "letter").sheet, case_of("all clear", "", "letter").sheet
    assert loose.drawing.bottom - loose.drawing.top > tight.drawing.bottom - tight.drawing.top
    assert "Notes at the vehicle" in text_of(loose, 0)


def test_a_sentence_longer_than_a_page_does_not_keep_the_sheet_from_being_made() -> None:
    solution = worse(solve(sample()), 2, letters=20_000)
    sheet = sheet_of(sample(), solution)
    assert len(sheet.pages) <= 6
    assert "".join(solution.findings[1].says.split()) in "".join(text_of(sheet).split())


def test_lines_keep_every_word_the_width_and_numbers_with_their_units() -> None:
    text = (
        "At both perches fit 2° wedges: pinion 3.4°, "
        + "x" * 90
        + " then 27 rad/s² and 1.50 in (38 mm). Then: ▲ caution."
    )
    for room in (60.0, 90.0, 200.0):
        told = lines(text, 9.0, room)
        assert "".join("".join(told).split()) == "".join(text.split())
        for line in told:
            assert width(line, 9.0) <= room
            assert not line.startswith(("rad/s²", "in ", "mm", "caution"))


def test_paper_is_white_and_every_colour_of_words_can_be_read_on_it() -> None:
    assert PAPER.paper == "#FFFFFF"
    for name in ("ink", "muted", "accent", "hold", "caution", "clear", "unknown"):
        assert contrast(PAPER.colour(name), PAPER.paper) >= 4.5  # type: ignore[arg-type]


def test_a_moved_layer_is_the_same_elsewhere() -> None:
    page = case_of("empty", "", "letter").sheet.pages[0]
    assert isinstance(page, Page)
    for layer in case_of(RANCH.stem, "inch", "letter").sheet.pages[0].layers:
        moved = layer.moved(3.0, -7.0)
        assert (moved.box is None) == (layer.box is None)
        for one, other in zip(layer.items, moved.items, strict=True):
            was, now = box_of(one), box_of(other)
            assert now == pytest.approx((was[0] + 3.0, was[1] - 7.0, was[2] + 3.0, was[3] - 7.0))
            assert not isinstance(one, Words) or (isinstance(other, Words) and other.text == one.text)


ROWS = [
    SetPoint("Pinion slope", "6.1°", "nose up", now="3.2° nose down"),
    SetPoint("Joint to joint", "50.82 in", "(1,290.8 mm)", now="50.85 in"),
    SetPoint("Joint to joint", "4' 2 13/16\"", "1,290.8 mm over all", now="50 27/32 in, at the joints"),
    SetPoint("Rear mount: lower by", "0.25 in", "(6.4 mm)", now="none"),
    SetPoint("Rear mount: lower by", "0.25 in", now="none"),
    SetPoint("Slip engaged", "", wants="the length of the spline and how much of it is inside"),
    SetPoint("Steel wedge", "2.5°", "thick end to the front", now="0.5° thick end to the rear"),
]


@pytest.mark.parametrize("least", [LOW_ROW, 24.0])
@pytest.mark.parametrize("point", ROWS)
def test_whatever_room_a_set_point_has_its_words_stay_in_its_row_and_apart(point: SetPoint, least: float) -> None:
    """From as narrow as two words to as wide as all: beside the value, under one another, or under the label."""
    label = max(width(line, BODY_PT) for line in _named(point.label))
    wanted = "".join(f"{point.label}{point.value}{point.note}{point.now}{point.wants}".split())
    for free in range(110, 420, 10):
        for pt in VALUE_PTS:
            row = _Row(point, label, float(free), pt, least)
            if free < row.value_wide + 60.0:
                continue
            board = Board(PAPER)
            row.draw(board, 30.0, 200.0)
            assert row.high >= least
            said = "".join("".join(text.split()) for _, text in board.words)
            for part in (point.label.partition(": ")[0], point.value, point.now, point.wants, point.note.strip("()")):
                assert "".join(part.split()) in said, (free, part)
            assert len(said) <= len(wanted) + len("now")
            for place, ((left, top, right, bottom), text) in enumerate(board.words):
                assert 200.0 - 1.0 <= top <= bottom <= 200.0 + row.high + 3.0, (free, text)  # digits end at their base
                assert left >= 30.0
                ends = 30.0 + label + (0.5 if left < 30.0 + label else 8.0 + free + 6.0)
                assert right <= ends, (free, text)
                for other, second in board.words[place + 1 :]:
                    assert not clash((left, top, right, bottom), other), (free, text, second)
