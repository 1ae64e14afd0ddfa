"""The fitting of the sheet: nothing over anything else, nothing outside the margins, as large and whole as it goes."""

import re
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Literal

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from app.setpoints import set_points, variant_words
from app.sheet import build_figure
from app.sheet.amounts import amount_words
from app.sheet.entries import entries, keyed
from app.sheet.flow import Span, cleaned, fitted, paragraph, width_of
from app.sheet.ladder import Rung, first_fit, rungs
from app.sheet.layout import Sheet, content_of, laid_out
from app.sheet.order import shaft_order
from app.sheet.page import PAPERS, Mark, PaperName, Rule, Square, Words
from app.sheet.ways import Ways
from app.sketch.camera import Rect
from geometry import Build, Solution, edited, solve
from geometry.document import value_at
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, Remedy, Verdict

DAY = date(2025, 3, 9)
SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = SAMPLES / "ranch_truck_swap.json"
PAPER_NAMES: tuple[PaperName, ...] = ("letter", "a4")
INCHES_FEET, METRIC = Display(), Display(length="millimetre", torque="newton_metre")
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
        way = Remedy("At both perches fit wedges that raise the pinion's nose, " * 3, {}, 1.0, "clear", "hold", ())
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


def test_ladder_gives_up_type_and_drawing_then_clear_then_unknown_ones_then_remedies() -> None:
    ladder = rungs(20, 6)
    clear = [20 if rung.telling.clear is None else rung.telling.clear for rung in ladder]
    unknown = [6 if rung.telling.unknown is None else rung.telling.unknown for rung in ladder]
    ways = [rung.telling.ways for rung in ladder]
    assert ladder[0].telling.size >= 8.0
    bases = ["full", "kind", "none"]
    assert [bases.index(rung.telling.basis) for rung in ladder] == sorted(
        bases.index(rung.telling.basis) for rung in ladder
    )
    for basis in bases:
        same = [rung.telling.size for rung in ladder if rung.telling.basis == basis]
        assert same == sorted(same, reverse=True)
    for falling in ([rung.drawing for rung in ladder], clear, unknown, ways):
        assert falling == sorted(falling, reverse=True)
    assert set(clear) == set(range(21))  # the last one goes first, and one at a time
    assert set(unknown) == set(range(7))
    for rung, some, others, told in zip(ladder, clear, unknown, ways, strict=True):
        if some < 20:
            assert rung.telling.size <= READABLE_PT
            assert rung.drawing <= 140.0
        assert others == 6 or some == 0
        assert told or others == 0
        assert rung.telling.basis != "none" or not told


def test_first_rung_that_fits_is_found_by_halving() -> None:
    ladder = rungs(9, 4)
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
    ("value", "limit", "sense", "unit", "display", "expected"),
    [
        (695.6, 400.0, "at most", "rad/s²", INCHES_FEET, "696 rad/s², at most 400"),
        (8.75, 8.68, "at most", "deg", INCHES_FEET, "8.8°, at most 8.7°"),
        (7.04, 7.0, "at most", "deg", INCHES_FEET, "7.04°, at most 7.00°"),
        (5.2, 2.94, "at most", "mm", INCHES_FEET, "0.20 in, at most 0.12"),
        (18.0, 19.05, "at least", "mm", INCHES_FEET, "0.71 in, at least 3/4 in"),  # 19.05 mm = 3/4 × 25.4 mm
        (19.04, 19.05, "at least", "mm", INCHES_FEET, "0.7496 in, at least 0.7500"),
        (1291.0, 2600.0, "at most", "N·m", METRIC, "1,291 N·m, at most 2,600"),
        (0.3, None, "at most", "", INCHES_FEET, "0.30"),
        (None, 1.0, "at most", "deg", INCHES_FEET, ""),
        (12.5, 8.0, "at least", "widgets", INCHES_FEET, "12.5 widgets, at least 8.0"),
    ],
)
def test_value_and_limit(
    value: float | None,
    limit: float | None,
    sense: Literal["at most", "at least"],
    unit: str,
    display: Display,
    expected: str,
) -> None:
    one = replace(CASES["ranch"][1].findings[0], value=value, limit=limit, sense=sense, unit=unit)
    assert amount_words(one, display).replace("\u00a0", " ") == expected


def test_unknown_findings_that_want_the_same_are_told_once() -> None:
    solution = solve(Build())
    told = entries(solution, Display())["unknown"]
    wanted = {finding.says for finding in solution.findings}
    assert len({entry.says for entry in told}) == len(told)
    assert all(any(entry.says in says for says in wanted) for entry in told)
    assert all(any(entry.says in says for entry in told) for says in wanted)
    assert sum(entry.findings for entry in told) == len(solution.findings)
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
    assert sheet.rung.telling.clear is None
    assert sheet.rung.telling.unknown is None
    assert min(words.size for words in words_of(sheet)) >= READABLE_PT
    clear = len(entries(solve(build), build.display)["clear"])
    assert len(blocks_of_clear(sheet)) == (clear if sheet.rung.telling.rows else -(-clear // 8))  # eight to a paragraph
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
    large = [words for words in words_of(sheet_of(build, solution, paper)) if words.bold and words.text == "as it is"]
    assert [words.size >= 11.0 for words in large] == [True]


def test_clear_findings_are_given_up_from_the_last_and_counted() -> None:
    build = sample()
    solution = solve(build)
    clear = [finding for finding in solution.findings if finding.verdict == "clear"]
    many = [
        replace(one, title=f"{one.title}, case {number},", says=f"Case {number}. {one.says}")
        for number, one in enumerate(clear * 3, start=100)
    ]
    full = replace(solution, findings=(*worse(solution, 7).findings, *many))
    sheet = sheet_of(build, full)
    kept = sheet.rung.telling.clear
    assert kept is not None
    assert 0 < kept < len(many)
    text = " ".join(" ".join(words.text for words in words_of(sheet)).split())
    assert [one.title in text for one in many] == [True] * kept + [False] * (len(many) - kept)
    assert not any(one.says in text for one in many)
    assert f"{len(many) - kept} more clear findings: see the program" in text
    assert text.count("→") == 7  # remedies go only after the clear findings
    assert_clean(sheet)


def test_unknown_findings_are_given_up_after_all_clear_ones_and_counted() -> None:
    build = sample()
    wanting = solve(Build()).findings[0]
    many = [
        replace(wanting, title=f"Case {number}", says=f"Not judged: measure or enter the {'long ' * 9}name {number}.")
        for number in range(100, 160)
    ]
    solution = solve(build)
    clear = [finding for finding in solution.findings if finding.verdict == "clear"]
    sheet = sheet_of(build, replace(solution, findings=(*worse(solution, 7).findings, *many, *clear)))
    kept = sheet.rung.telling.unknown
    assert kept is not None
    assert 0 < kept < len(many)
    text = " ".join(" ".join(words.text for words in words_of(sheet)).split())
    assert [f"name {number}." in text for number in range(100, 160)] == [True] * kept + [False] * (60 - kept)
    assert f"{60 - kept} more unknown findings: see the program" in text
    assert f" {len(clear)} clear findings: see the program" in text
    assert_clean(sheet)


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_the_shaft_is_ordered_as_the_set_points_have_it(path: Path) -> None:
    build = sample(path)
    solution = solve(build)
    content = content_of(build, solution, "", DAY)
    points = {point.label: f"{point.value} {point.note}" for point in content.points}
    order = dict(content.order)
    if "Length" in order:
        assert order["Length"].startswith(points["Joint to joint"])
    else:
        assert order["Rear tube"].startswith(points["Rear section"])
    if points["Spline engaged"].strip():
        assert f"engaged {points['Spline engaged']} at ride height" in order["Slip"]
    if "Slip stroke" in points:
        assert f"stroke {points['Slip stroke']}" in order["Slip"]


LOOSE = {"plan.perches": "loose", "plan.mounts": "loose"}


def test_loose_perches_have_no_wedge_and_loose_mounts_no_shim() -> None:
    """What is not welded yet is set by its angle: the pinion's first, as the perches are tacked to it."""
    labels = [point.label for point in set_points(sample(**LOOSE), solve(sample(**LOOSE)))]
    assert labels[:2] == ["Pinion slope", "Output slope"]
    assert "Wedge, each perch" not in labels
    assert "Rear mount" not in labels
    labels = [point.label for point in set_points(sample(), solve(sample()))]
    assert labels[:4] == ["Output slope", "Pinion slope", "Wedge, each perch", "Rear mount"]


def test_a_shackle_to_make_a_link_a_bearing_and_another_slip_have_rows() -> None:
    build = sample()
    solution = solve(build)
    new = {"slip_stroke_mm": 152.4, "shackle_length_mm": 127.0, "lateral_link_mm": 920.0, "bearing_height_mm": 455.0}
    made = replace(solution.setpoints, **new)
    rows = {point.label: point.value for point in set_points(build, replace(solution, setpoints=made))}
    assert rows["Slip stroke"] == "6.00 in"  # 152.4 mm = 6 × 25.4 mm, and so on
    assert rows["Shackle to make"] == "5.00 in"
    assert rows["Lateral link"] == "36.22 in"
    assert rows["Bearing height"] == "17.91 in"
    same = replace(made, slip_stroke_mm=110.0, shackle_length_mm=None, lateral_link_mm=None, bearing_height_mm=None)
    labels = {point.label for point in set_points(build, replace(solution, setpoints=same))}
    assert labels.isdisjoint({"Slip stroke", "Shackle to make", "Lateral link", "Bearing height"})


def test_set_points_say_whose_they_are() -> None:
    build = sample()
    solution = solve(build)
    assert (
        variant_words(build, solution)
        == "with the first remedy of: uneven running at the pinion; whole build then: caution"
    )
    plain = replace(solution, findings=tuple(replace(one, remedy=None) for one in solution.findings))
    assert variant_words(build, plain) == ""
    text = " ".join(words.text for words in words_of(sheet_of(build, solution)))
    assert "with the first remedy of: uneven running at the pinion" in text
    assert "of the shaft with that remedy" in text


def ways_of(findings: list[Finding]) -> list[str]:
    ways = Ways(INCHES_FEET)
    return [ways.of(finding, number + 1) for number, finding in enumerate(findings)]


def way(says: str, after: float | None, verdict: Verdict = "clear", **changes: float) -> Remedy:
    return Remedy(
        says, {entry.replace("__", "."): value for entry, value in changes.items()}, after, verdict, "caution", ()
    )


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
        replace(angle, remedy=worse_shim, alternatives=(wedge,)),
        replace(angle, remedy=other, alternatives=(again,)),
        replace(angle, remedy=other, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=None, alternatives=()),
    ])  # fmt: skip
    then = "Whole build then: ▲\u00a0caution."
    assert told == [
        f"Fit wedges. {then}",
        "as for 1: then 0.37°.",
        f"Fit a shim, ends cancel. {then}",  # it is told with the first finding as another way, which the sheet leaves
        "as for 3: then 1.5° (caution).",
        f"Fit more wedges. {then}",
        "as for 5.",
        f"Buy a longer shaft. {then}",
        f"Buy a longer shaft. {then}",
        "",
    ]


def test_two_findings_of_one_title_are_told_apart_and_one_alone_is_not() -> None:
    build = sample()
    solution = solve(build)
    twice = [one for one in solution.findings if one.id == "operating_angle_least"]
    assert [one.part for one in twice] == ["front_joint", "rear_joint"]
    title = twice[0].title
    held = replace(
        solution,
        verdict="hold",
        findings=tuple(replace(one, verdict="hold") if one in twice else one for one in solution.findings),
    )
    told = entries(held, Display())["hold"]
    assert [entry.title for entry in told] == [f"{title}, front joint", f"{title}, rear joint"]
    words = " ".join(words.text for words in words_of(sheet_of(build, held, "letter"))).replace("\xa0", " ")
    assert all(entry.title in words for entry in told)
    once = replace(held, findings=tuple(one for one in held.findings if one.part != "rear_joint"))
    assert [entry.title for entry in entries(once, Display())["hold"]] == [title]


def test_clear_findings_of_one_title_are_told_under_it_once() -> None:
    solution = solve(sample())
    told = {entry.title: entry for entry in entries(solution, Display())["clear"]}
    needles = [finding for finding in solution.findings if finding.id == "operating_angle_least"]
    assert [finding.part for finding in needles] == ["front_joint", "rear_joint"]
    entry = told[needles[0].title]
    assert entry.findings == 2
    assert entry.value == "5.4°, 6.7°"


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("case", CASES)
def test_every_letter_has_its_footnote_and_every_basis_its_letter(case: str, paper: PaperName) -> None:
    build, solution = CASES[case]
    sheet = sheet_of(build, solution, paper)
    if sheet.rung.telling.basis == "none":
        return
    text = " ".join(words.text for words in words_of(sheet))
    notes = text.partition("Basis")[2]
    used = set(re.findall(r"\[([a-z]{1,2})\]", text.replace(",", "][")))
    bases = {finding.basis for finding in solution.findings if finding.verdict in {"hold", "caution"}}
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
    (row,) = [row for row in set_points(sample(path), stated) if row.label.startswith(("Wedge", "Turn"))]
    assert row.note == ("raises the nose" if now[2] > was[2] else "lowers the nose")


def test_the_shaft_is_ordered_for_the_torque_that_it_is_judged_by() -> None:
    """With the shock factor; where something that sets the torque is not entered, it is no more than a bound."""
    build = sample()
    solution = solve(build)
    tube = next(one for one in solution.findings if one.id == "tube_shear")
    assert solution.shaft.torque_nm is not None
    assert solution.shaft.shock_torque_nm == pytest.approx(1.5 * solution.shaft.torque_nm)  # the factor taken
    shear = solution.shaft.shear_mpa
    assert shear is not None
    assert tube.value == pytest.approx(shear)
    torque = dict(shaft_order(build, solution))["Torque"]
    assert torque.startswith("must carry 1,541 lb·ft (2,089 N·m): 1,027 lb·ft (1,392 N·m) at launch, with shock")
    for entry in ("vehicle.tyre_grip", "powertrain.peak_torque_nm", "vehicle.mass_centre_height_mm"):
        other = sample(**{entry: None})
        assert "as far as entered" in dict(shaft_order(other, solve(other)))["Torque"], entry
    gentle = {"vehicle.tyre_grip": 1.2, "powertrain.peak_torque_nm": 100.0}
    for entry in ("powertrain.low_range", "powertrain.converter_ratio"):
        both = {"powertrain.low_range": 1.0, "powertrain.converter_ratio": 1.0}
        whole, less = sample(**gentle, **both), sample(**gentle, **{**both, entry: None})
        assert "as far as entered" not in dict(shaft_order(whole, solve(whole)))["Torque"]
        assert "as far as entered" in dict(shaft_order(less, solve(less)))["Torque"], entry


def test_the_sheet_of_an_axle_on_links_tells_of_brackets_not_perches() -> None:
    for path in sorted(SAMPLES.glob("*.json")):
        build = sample(path)
        text = " ".join(words.text for words in words_of(sheet_of(build, solve(build)))).lower()
        links = value_at(build, "suspension.kind") == "links"
        assert ("perch" not in text and "brackets both sides" in text) if links else "both perches" in text, path.stem
