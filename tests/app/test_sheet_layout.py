"""The fitting of the sheet: nothing over anything else, nothing outside the margins, as large and whole as it goes."""

import re
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from app.setpoints import set_points
from app.sheet import build_figure
from app.sheet.amounts import amount_words
from app.sheet.entries import entries, keyed
from app.sheet.flow import Span, cleaned, fitted, paragraph, width_of
from app.sheet.ladder import Rung, first_fit, rungs
from app.sheet.layout import Sheet, content_of, laid_out
from app.sheet.page import PAPERS, Mark, PaperName, Rule, Square, Words
from app.sheet.ways import Ways
from app.sketch.camera import Rect
from app.units import INCHES, MILLIMETRES
from geometry import Build, Solution, edited, solve
from geometry.document.vehicle import Display
from geometry.solution import Finding, Remedy, Verdict

DAY = date(2025, 3, 9)
SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = SAMPLES / "ranch_truck_swap.json"
PAPER_NAMES: tuple[PaperName, ...] = ("letter", "a4")
READABLE_PT = 6.5
ROUNDING_PT = 0.05


def sample(path: Path = RANCH, **changes: object) -> Build:
    return edited(Build.model_validate_json(path.read_text(encoding="utf-8")), changes)


def worse(solution: Solution, count: int, letters: int = 150) -> Solution:
    """A solution with so many findings that hold, each with a sentence of so many letters and long remedies."""
    made = []
    for number in range(count):
        finding = solution.findings[number % len(solution.findings)]
        says = f"{number + 1} " + "so and so it is with the shaft and the joints of it " * (letters // 40)
        way = Remedy("At both perches fit wedges that raise the pinion's nose, " * 3, {}, 1.0, "clear")
        made.append(
            replace(finding, verdict="hold", says=says[:letters], remedy=way, alternatives=(way,), value=9.0, limit=1.0)
        )
    return replace(solution, verdict="hold", findings=tuple(made))


def sheet_of(build: Build, solution: Solution, paper: PaperName = "letter", name: str = "a.json") -> Sheet:
    return laid_out(content_of(build, solution, name, DAY), paper)


def words_of(sheet: Sheet) -> list[Words]:
    return [item for item in sheet.items if isinstance(item, Words)]


def box_of(item: object) -> Rect:
    if isinstance(item, Words):
        return item.box
    if isinstance(item, Rule):
        return Rect(item.x0, item.y0, item.x1, item.y1)
    if isinstance(item, Square):
        return Rect(item.left, item.top, item.left + item.width, item.top + item.height)
    assert isinstance(item, Mark)
    return Rect(item.x - item.half, item.y - item.half, item.x + item.half, item.y + item.half)


def clash(one: Rect, other: Rect) -> bool:
    """Whether two boxes share more than a rounding; letters rarely fill their box, so a hair of it counts as none."""
    across = min(one.right, other.right) - max(one.left, other.left)
    down = min(one.bottom, other.bottom) - max(one.top, other.top)
    return across > ROUNDING_PT and down > 0.6


def assert_clean(sheet: Sheet) -> None:
    paper = sheet.paper
    for item in sheet.items:
        box = box_of(item)
        assert box.left >= paper.left - ROUNDING_PT, item
        assert box.right <= paper.right + ROUNDING_PT, item
        assert box.top >= paper.top - ROUNDING_PT, item
        assert box.bottom <= paper.foot + ROUNDING_PT, item
    boxes = [(box_of(item), item) for item in sheet.items if not isinstance(item, Rule)] + [(sheet.drawing, "drawing")]
    boxes.sort(key=lambda pair: pair[0].top)
    for number, (one, first) in enumerate(boxes):
        for other, second in boxes[number + 1 :]:
            if other.top > one.bottom:
                break
            assert not clash(one, other), (first, second)


def cases() -> dict[str, tuple[Build, Solution]]:
    ranch = sample()
    metric = sample(**{"display.length": "millimetre", "display.torque": "newton_metre"})
    notes = sample(notes="Measured on the flat floor by the door. " * 499)
    long_name = sample(title="W" * 200)
    angles = {"powertrain.slope_deg": 4.2, "axle.pinion_slope_deg": 3.9, "readings.shaft_slope_deg": 9.0}
    hurry = edited(Build(), angles)
    found = {
        "ranch": (ranch, solve(ranch)),
        "metric": (metric, solve(metric)),
        "notes": (notes, solve(notes)),
        "long title": (long_name, solve(long_name)),
        "hurry": (hurry, solve(hurry)),
        "empty": (Build(), solve(Build())),
        "no findings": (ranch, replace(solve(ranch), findings=())),
        "thirty": (notes, worse(solve(notes), 30)),
        "sixty": (ranch, worse(solve(ranch), 60, 120)),
    }
    for path in sorted(SAMPLES.glob("*.json")):
        found[path.stem] = (sample(path), solve(sample(path)))
    return found


CASES = cases()


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("case", CASES)
def test_nothing_overlaps_and_nothing_leaves_the_margins(case: str, paper: PaperName) -> None:
    assert_clean(sheet_of(*CASES[case], paper=paper, name="a long file name of a build that goes on and on.json"))


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("case", [case for case in CASES if case != "sixty"])
def test_type_stays_readable_and_the_drawing_large_enough(case: str, paper: PaperName) -> None:
    sheet = sheet_of(*CASES[case], paper=paper)
    assert min(words.size for words in words_of(sheet)) >= READABLE_PT
    assert sheet.drawing.height >= 130.0
    assert sheet.drawing.width >= 0.6 * sheet.paper.content


def test_set_points_are_in_large_type_with_three_boxes_each() -> None:
    sheet = sheet_of(*CASES["hurry"])
    (value,) = [words for words in words_of(sheet) if words.text == "9.0°"]
    assert value.bold
    assert value.size >= 11.0
    beside = [
        item for item in sheet.items
        if isinstance(item, Square) and item.width > 40.0 and item.top < value.baseline < item.top + item.height
    ]  # fmt: skip
    assert len(beside) == 3
    assert all(one.left + one.width < other.left for one, other in pairwise(sorted(beside, key=lambda box: box.left)))


def test_remedies_go_before_any_sentence_of_what_holds() -> None:
    build, solution = CASES["thirty"]
    text = " ".join(words.text for words in words_of(sheet_of(build, solution)))
    for finding in solution.findings:
        assert " ".join(finding.says.split()) in " ".join(text.split())
    assert "the program has the remedies" in text
    few = worse(solution, 6)
    text = " ".join(words.text for words in words_of(sheet_of(build, few)))
    assert "the program has the remedies" not in text
    assert text.count("→") == 6


def test_more_than_any_page_holds_is_counted_and_said() -> None:
    build = sample()
    sheet = sheet_of(build, worse(solve(build), 400, 150))
    assert_clean(sheet)
    assert any("more: the program lists them" in words.text for words in words_of(sheet))


def test_ladder_gives_up_type_and_drawing_then_clear_sentences_then_remedies() -> None:
    ladder = rungs(20)
    ways = ["all", "first", "line", "none"]
    whole = [20 if rung.telling.sentences is None else rung.telling.sentences for rung in ladder]
    told = [ways.index(rung.telling.ways) for rung in ladder]
    assert ladder[0].telling.size >= 8.0
    bases = ["full", "kind", "none"]
    assert [bases.index(rung.telling.basis) for rung in ladder] == sorted(
        bases.index(rung.telling.basis) for rung in ladder
    )
    for basis in bases:
        same = [rung.telling.size for rung in ladder if rung.telling.basis == basis]
        assert same == sorted(same, reverse=True)
    for falling in ([rung.drawing for rung in ladder], whole):
        assert falling == sorted(falling, reverse=True)
    assert told == sorted(told)
    assert set(whole) == set(range(21))  # the last one goes first, and one at a time
    for rung, sentences, way in zip(ladder, whole, told, strict=True):
        if sentences < 20:
            assert rung.telling.size <= READABLE_PT
            assert rung.drawing <= 140.0
        assert way == 0 or sentences == 0
        assert rung.telling.basis != "none" or way == 3


def test_first_rung_that_fits_is_found_by_halving() -> None:
    ladder = rungs(12)
    for first in range(len(ladder)):
        tried: list[Rung] = []

        def fit(rung: Rung, first: int = first, tried: list[Rung] = tried) -> int | None:
            tried.append(rung)
            at = ladder.index(rung)
            return at if at >= first else None

        assert first_fit(ladder, fit) == first
        assert len(tried) <= 6
    assert first_fit(ladder, lambda _: None) is None


@pytest.mark.parametrize("case", ["ranch", "thirty", "metric"])
def test_measured_widths_are_those_that_are_drawn(case: str) -> None:
    """The widths that the fitting reckons with, against the extents that matplotlib gives to the drawn words."""
    build, solution = CASES[case]
    figure = build_figure(build, solution, "letter", source_name="a.json", printed_on=DAY)
    figure.set_dpi(720.0)  # hinting of letters to whole pixels is small there
    renderer = FigureCanvasAgg(figure).get_renderer()
    texts = [text for text in figure.findobj(Text) if text.get_text()]
    drawn = {(text.get_text(), text.get_fontsize(), text.get_fontweight() == "bold"): text for text in texts}
    for words in words_of(sheet_of(build, solution)):
        width = drawn[words.text, words.size, words.bold].get_window_extent(renderer).width / 10.0
        assert width <= words.width + 0.02 * words.width + 0.4, words.text
        assert width >= 0.93 * words.width - 0.25 * words.size, words.text


def test_wrapping_keeps_every_word_and_the_width() -> None:
    text = "At both perches fit 2° wedges that raise the pinion's nose: pinion 3.4°, " + "x" * 90 + " 27 rad/s²."
    block = paragraph([Span("HOLD 1 ", bold=True), Span(text)], 7.0, 120.0, indent=8.0)
    lines: dict[float, list[Words]] = {}
    for item in block.items:
        assert isinstance(item, Words)
        assert item.box.right <= 120.0 + ROUNDING_PT
        lines.setdefault(item.baseline, []).append(item)
    joined = " ".join(" ".join(words.text for words in line) for line in lines.values())
    assert joined.replace(" ", "") == f"HOLD 1 {text}".replace(" ", "")


def test_cut_text_says_that_there_is_more() -> None:
    shown = fitted("a name that is too long for its cell", 8.0, 60.0)
    assert shown.endswith("…")
    assert width_of(shown, 8.0) <= 60.0
    assert fitted("short", 8.0, 60.0) == "short"


def test_letters_that_the_font_lacks_are_replaced_and_white_space_is_made_plain() -> None:
    assert cleaned(" a\n\tb\u3042\x07 ") == "a b\ufffd\ufffd"


@pytest.mark.parametrize(
    ("value", "limit", "unit", "display", "expected"),
    [
        (695.6, 400.0, "rad/s²", INCHES, "696 rad/s², limit 400"),
        (8.75, 8.68, "deg", INCHES, "8.8°, limit 8.7°"),
        (7.04, 7.0, "deg", INCHES, "7.04°, limit 7.00°"),
        (5.2, 2.94, "mm", INCHES, "0.20 in (5.2 mm), limit 0.12 in (2.9 mm)"),
        (1291.0, 2600.0, "N·m", MILLIMETRES, "1,291 N·m (952 lb·ft), limit 2,600 N·m (1,918 lb·ft)"),
        (0.3, None, "", INCHES, "0.30"),
        (None, 1.0, "deg", INCHES, ""),
        (12.5, 8.0, "widgets", INCHES, "12.50 widgets, limit 8.00"),
    ],
)
def test_value_and_limit(value: float | None, limit: float | None, unit: str, display: Display, expected: str) -> None:
    assert amount_words(value, limit, unit, display).replace("\u00a0", " ") == expected


def test_unknown_findings_that_want_the_same_are_told_once() -> None:
    solution = solve(Build())
    told = entries(solution, Display())["unknown"]
    wanted = {finding.says for finding in solution.findings}
    assert sorted(entry.says for entry in told) == sorted(wanted)
    titles = " ".join(entry.title for entry in told).lower()
    assert all(finding.title.lower() in titles for finding in solution.findings)


def test_flags_of_the_drawing_name_every_number_of_the_list_once() -> None:
    solution = worse(solve(sample()), 12)
    flags = keyed(solution).findings
    numbers = sorted(int(number) for finding in flags for number in finding.title.split(", "))
    assert numbers == list(range(1, 13))
    assert len({(finding.part, finding.verdict) for finding in flags}) == len(flags)


def test_margins_leave_what_printers_cannot_reach() -> None:
    for paper in PAPERS.values():
        assert min(paper.side, paper.top, paper.bottom) >= 72.0 / 4.0


def blocks_of_clear(sheet: Sheet) -> list[Mark]:
    """Shapes before the clear findings; the one of the whole page's verdict is larger."""
    return [item for item in sheet.items if isinstance(item, Mark) and item.verdict == "clear" and item.half < 4.0]


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_each_samples_sentences_fit_in_readable_type(path: Path, paper: PaperName) -> None:
    """Every paragraph starts with its shape and title, so a column never starts in the middle of a finding."""
    build = sample(path)
    sheet = sheet_of(build, solve(build), paper)
    assert sheet.rung.telling.sentences is None
    assert min(words.size for words in words_of(sheet)) >= READABLE_PT
    assert len(blocks_of_clear(sheet)) == len(entries(solve(build), build.display)["clear"])
    left = sheet.paper.column_left(2)
    heads = [words for words in words_of(sheet) if words.text == "Findings, continued"]
    if heads:
        (head,) = heads
        below = [item for item in sheet.items if isinstance(item, Words) and item.baseline > head.baseline + 1.0]
        first = min((item for item in below if item.x >= left - ROUNDING_PT), key=lambda item: (item.baseline, item.x))
        assert any(
            isinstance(item, Mark) and item.x < first.x and first.baseline - first.size < item.y < first.baseline
            for item in sheet.items
        )


@pytest.mark.parametrize("paper", PAPER_NAMES)
def test_set_points_stay_large_while_every_sentence_is_told(paper: PaperName) -> None:
    build, solution = CASES["ranch"]
    large = [words for words in words_of(sheet_of(build, solution, paper)) if words.bold and words.text == "none"]
    assert [words.size >= 11.0 for words in large] == [True]


def test_clear_sentences_are_given_up_from_the_last_and_never_the_titles() -> None:
    build = sample()
    solution = solve(build)
    clear = [finding for finding in solution.findings if finding.verdict == "clear"]
    many = [
        replace(one, title=f"{one.title}, case {number}", says=f"Case {number}. {one.says}")
        for number, one in enumerate([*clear, *clear[:10]], start=100)
    ]
    full = replace(solution, findings=(*worse(solution, 2).findings, *many))
    sheet = sheet_of(build, full)
    kept = sheet.rung.telling.sentences
    assert kept is not None
    assert 0 < kept < len(many)
    text = " ".join(" ".join(words.text for words in words_of(sheet)).split())
    told = [" ".join(one.says.split()) in text for one in many]
    assert told == [True] * kept + [False] * (len(many) - kept)
    assert all(one.title in text for one in many)
    assert text.count("→") == 2  # remedies go only after the clear sentences
    assert_clean(sheet)


def ways_of(findings: list[Finding]) -> list[tuple[tuple[str, ...], str]]:
    ways = Ways(INCHES_FEET)
    return [ways.of(finding, number + 1) for number, finding in enumerate(findings)]


INCHES_FEET = Display()


def way(says: str, after: float | None, verdict: Verdict = "clear", **changes: float) -> Remedy:
    return Remedy(says, {entry.replace("__", "."): value for entry, value in changes.items()}, after, verdict)


def test_repeated_remedies_are_told_once() -> None:
    one = solve(sample()).findings[0]
    angle = replace(one, unit="deg")
    wedge, shim = way("Fit wedges.", 88.0, plan__axle_shim_deg=1.0), way("Fit a shim.", 163.0, plan__mount_shim_mm=12.7)
    again = way("Fit wedges, ends cancel.", 0.371, plan__axle_shim_deg=1.0)
    worse_shim = way("Fit a shim, ends cancel.", 1.53, "caution", plan__mount_shim_mm=12.7)
    other = way("Fit more wedges.", None, plan__axle_shim_deg=2.0)
    bare = way("Buy a longer shaft.", None)
    told = ways_of([
        replace(one, remedy=wedge, alternatives=(shim,)),
        replace(angle, remedy=again, alternatives=(worse_shim,)),
        replace(angle, remedy=worse_shim, alternatives=()),
        replace(angle, remedy=other, alternatives=(again,)),
        replace(angle, remedy=other, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=None, alternatives=()),
    ])  # fmt: skip
    assert told == [
        (("Fit wedges.", "Fit a shim."), "Fit wedges."),
        (("as for 1: then 0.37° or 1.5° (caution).",), "as for 1: then 0.37°."),
        (("as for 1, second way: then 1.5° (caution).",), "Fit a shim, ends cancel."),
        (("Fit more wedges.", "as for 1, first way: then 0.37°."), "Fit more wedges."),
        (("as for 4, first way.",), "as for 4."),
        (("Buy a longer shaft.",), "Buy a longer shaft."),
        (("Buy a longer shaft.",), "Buy a longer shaft."),
        ((), ""),
    ]


def test_clear_findings_of_one_title_are_told_under_it_once() -> None:
    solution = solve(sample())
    told = {entry.title: entry for entry in entries(solution, Display())["clear"]}
    needles = [finding for finding in solution.findings if finding.id == "operating_angle_least"]
    assert [finding.part for finding in needles] == ["front_joint", "rear_joint"]
    entry = told[needles[0].title]
    assert entry.says == " ".join(finding.says for finding in needles)
    assert entry.bases == (needles[0].basis,)
    assert entry.amount.replace("\u00a0", " ") == "5.4°, 6.7°, limit 0.5°"


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("case", CASES)
def test_every_letter_has_its_footnote_and_every_basis_its_letter(case: str, paper: PaperName) -> None:
    build, solution = CASES[case]
    sheet = sheet_of(build, solution, paper)
    if sheet.rung.telling.basis == "none":
        return
    text = " ".join(words.text for words in words_of(sheet))
    notes = text[text.index("Basis") :] if solution.findings else ""
    used = set(re.findall(r"\[([a-z]{1,2})\]", text.replace(",", "][")))
    bases = {finding.basis for finding in solution.findings}
    wanted = bases if sheet.rung.telling.basis == "full" else {basis.partition(":")[0] for basis in bases}
    assert len(used) == len(wanted)
    for basis in wanted:
        assert basis in " ".join(notes.split())
    for letter in used:
        assert f"[{letter}]" in notes


WITH_A_NOSE = [path for path in sorted(SAMPLES.glob("*.json")) if path.stem != "three_angles_and_a_length"]


@pytest.mark.parametrize("path", WITH_A_NOSE, ids=lambda path: path.stem)
@pytest.mark.parametrize("wedge", [-2.0, 2.0])
def test_the_wedge_is_said_to_move_the_nose_as_the_drawing_moves_it(path: Path, wedge: float) -> None:
    before, after = (solve(sample(path, **{"plan.axle_shim_deg": size})) for size in (0.0, wedge))
    was, now = before.picture.pinion_joint_mm, after.picture.pinion_joint_mm
    assert was is not None
    assert now is not None
    stated = replace(after, setpoints=replace(after.setpoints, axle_shim_deg=wedge))
    (row,) = [row for row in set_points(sample(path), stated) if row.label.startswith("Wedge")]
    assert row.note == ("raises the nose" if now[2] > was[2] else "lowers the nose")
