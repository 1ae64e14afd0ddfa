"""The shaft order on paper: what is known in bold, a box for what is not, nothing over anything, all to make it by."""

import itertools
import re
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.cautions import CAUTIONS
from app.commands import main
from app.drawing.palette import contrast
from app.papers.order import Order, order_of, teeth_words
from app.setpoints import both_lengths, ordered_for
from app.sheet.order import shaft_order, stronger_mm
from app.sheet.paper import SIZES, PaperName
from app.units import show
from geometry import Build, Solution, edited, solve
from tests.app.sheets import DAY, LONG_NAME, PAPERS, RANCH, SAMPLES, UNITS, box_of, sample
from tests.app.test_card import SMALLEST_PT, boxes_on, clash, words_on

ENDS: dict[str, object] = {
    "shaft.front_end": {
        "type": "flange", "cap_mm": 27.0, "span_mm": 81.8, "clip": "outside", "pilot_mm": 60.3, "pilot": "male",
        "bolt_circle_mm": 79.4, "bolts": 4.0, "bolt_mm": 9.5, "thread": "fine",
    },
    "powertrain.output_end": {"type": "flange", "pilot_mm": 60.3, "pilot": "female"},
    "axle.pinion_end": {"type": "u_bolts", "series": "1350"}, "shaft.rear_end": {"type": "caps", "clip": "inside"},
    "shaft.slip.spline_teeth": 16.0, "shaft.slip.sits": "pinion_end", "shaft.slip.seal": "boot",
    "shaft.rear_joint.life_rating_nm": None,
}  # fmt: skip
"""Both ends and the slip of the ranch truck's shaft, whole."""
YOKE = {"powertrain.output_end": {"type": "spline", "spline_teeth": 27.0, "spline_diameter_mm": 34.9, "seal_mm": 38.1},
        "shaft.front_end": {"type": "spline", "barrel_mm": 120.0}, "shaft.slip.sits": "gearbox"}  # fmt: skip
ODD = ["empty", "ends", "slip yoke", "long title", "hold", "sixteenths", "thick tube", "adapters"]
CASES = [
    *((path.stem, unit, paper) for path in SAMPLES for unit in UNITS for paper in PAPERS),
    *((name, unit, paper) for name in ODD for unit in UNITS for paper in PAPERS),
]
every_case = pytest.mark.parametrize("case", CASES, ids=", ".join)


def build_of(name: str, unit: str) -> Build:
    units = UNITS[unit]
    made = {
        "empty": lambda: edited(Build(), units),
        "ends": lambda: sample(RANCH, **ENDS, **units),
        "slip yoke": lambda: sample(RANCH, **YOKE, **units),
        "long title": lambda: sample(RANCH, title="W" * 200, **ENDS, **units),
        "hold": lambda: sample(RANCH, **{**ENDS, "suspension.rate_n_per_mm": 2.0, "title": "word " * 40}, **units),
        "sixteenths": lambda: sample(RANCH, **{**ENDS, "display.length": "inch", "display.inches": "sixteenths"}),
        "thick tube": lambda: sample(
            RANCH, **{**ENDS, "shaft.tube.outer_diameter_mm": 127.0, "shaft.slip.stroke_mm": 300.0}, **units
        ),
        "adapters": lambda: sample(
            RANCH, **{**ENDS, "plan.output_adapter_mm": 12.7, "shaft.front_end.pilot_mm": 70.0}, **units
        ),
    }
    found = [path for path in SAMPLES if path.stem == name]
    return sample(found[0], **units) if found else made[name]()


@cache
def solved(name: str, unit: str) -> tuple[Build, Solution]:
    build = build_of(name, unit)
    return build, solve(build)


@cache
def order(name: str, unit: str, paper: PaperName) -> Order:
    return order_of(*solved(name, unit), paper, source_name=LONG_NAME, printed_on=DAY)


@pytest.fixture
def one(case: tuple[str, str, PaperName], qapp: object) -> Order:
    """The order of a case."""
    assert qapp
    return order(*case)


@every_case
def test_no_words_lie_over_words_or_the_edge_of_a_box(one: Order) -> None:
    for page in one.pages:
        words = [(box_of(item), item.text) for item in words_on(page)]
        for (box, text), (other, second) in itertools.combinations(words, 2):
            assert not clash(box, other), (text, second)
        for box, text in words:
            for edge in boxes_on(page):
                within = edge[0] <= box[0] and box[2] <= edge[2] and edge[1] <= box[1] + 1.0 and box[3] <= edge[3] + 1.5
                assert within or not clash(box, edge), text


@every_case
def test_nothing_leaves_the_margins_and_type_can_be_read(one: Order, case: tuple[str, str, PaperName]) -> None:
    left, top, right, bottom = one.frame
    assert min(left, top) >= 96.0 / 4.0  # what printers cannot reach
    for page in one.pages:
        assert (page.width, page.height) == SIZES[case[2]]
        for layer in page.layers:
            for item in layer.items:
                box = box_of(item)
                assert box[0] >= left - 1.0, item
                assert box[1] >= top - 1.0, item
                assert box[2] <= right + 1.0, item
                assert box[3] <= bottom + 1.0, item
        for words in words_on(page):
            assert words.pt >= SMALLEST_PT, words.text
            ground = "#FFFFFF" if words.colour != "#FFFFFF" else "#1F2A33"  # a filled ring's letter
            assert contrast(words.colour, ground) >= 4.5, words.text


@every_case
def test_the_length_at_ride_height_is_the_largest_type_and_all_of_the_order_is_there(
    one: Order, case: tuple[str, str, PaperName]
) -> None:
    build, solution = ordered_for(*solved(*case[:2]))
    assert len(one.pages) == len(solution.shaft.sections)
    for page, section in zip(one.pages, solution.shaft.sections, strict=True):
        texts = [words.text for words in words_on(page)]
        assert "In doubt: call first." in texts
        assert CAUTIONS[4] in texts  # the final word is the builder's
        for words in ("Builder", "Wanted by", "Phone", "Ordered by", "Read back by builder", "Face to face"):
            assert words in texts
        length = solution.order.length_mm if section.name == solution.order.section else section.length_mm
        if length is None:
            continue
        first, other = both_lengths(length, build.display)
        (largest,) = [words for words in words_on(page) if words.text == first]
        assert largest.bold
        assert largest.pt == max(words.pt for words in words_on(page))
        assert other in texts
        assert any(text.startswith(first) and "joint centre to joint centre" in text for text in texts)


@every_case
def test_what_the_solution_says_of_the_length_is_whole(one: Order, case: tuple[str, str, PaperName]) -> None:
    _, solution = ordered_for(*solved(*case[:2]))
    text = "".join("".join(words.text for page in one.pages for words in words_on(page)).split())
    for says in solution.order.says:
        assert "".join(says.split()) in text, says


def texts_of(build: Build) -> list[str]:
    return [words.text for page in order_of(build, solve(build), printed_on=DAY).pages for words in words_on(page)]


def test_least_and_most_over_the_travel_are_told_and_not_its_ends() -> None:
    build, solution = ordered_for(sample(RANCH), solve(sample(RANCH)))
    order, texts = solution.order, texts_of(sample(RANCH))
    assert order.most_mm is not None
    assert order.at_droop_mm is not None
    assert order.most_mm > order.at_droop_mm
    for length in (order.least_mm, order.most_mm, order.collapsed_mm, order.extended_mm):
        assert length is not None
        assert show(length, "mm", build.display) in texts
    assert any("of droop" in text and text.startswith("longest") for text in texts)


def test_a_size_of_the_series_is_marked_as_from_memory_and_a_calipered_one_is_not() -> None:
    texts = texts_of(sample(RANCH, **ENDS))
    assert "1.063 in" in texts  # 27.0 mm by caliper
    assert "1.188 in ○" in texts  # the other end's, of its series
    assert any(text.startswith("○ from memory") for text in texts)


def test_ticks_say_what_the_build_says_and_no_more() -> None:
    def ticked(build: Build) -> set[str]:
        page = order_of(build, solve(build), printed_on=DAY).pages[0]
        ways = {
            "flange",
            "bare caps",
            "slip yoke",
            "straps",
            "U-bolts",
            "clips",
            "spline",
            "at gearbox",
            "at axle",
            "boot",
            "lip",
            "outside",
            "inside",
            "on its tyres",
            "springs settled",
            "loaded as used",
            "tube only",
            "bare",
            "old shaft",
            "yokes",
            "road",
            "tows",
            "rough",
            "fittings",
            "sealed",
        }
        return {words.text for words in words_on(page) if words.bold and words.text in ways}

    assert ticked(Build()) == set()
    ends = {"flange", "bare caps", "U-bolts", "at axle", "boot", "outside", "inside"}
    bare = sample(RANCH, state=None, use=None, order=None, **ENDS)
    assert ticked(bare) == ends
    wished = {"on_road": True, "tows": False, "grease": "sealed", "paint": "bare", "yokes": True}
    assert ticked(edited(bare, {"order": wished})) == {*ends, "road", "sealed", "bare", "yokes"}
    assert ticked(edited(bare, {"state.on": "axle_stands", "state.springs": "new"})) == {*ends, "springs settled"}
    assert ticked(edited(bare, {"state.on": "tyres"})) == {*ends, "on its tyres"}
    least = {"state": {"on": "tyres", "driver_in": False, "springs": "settled"}}
    assert ticked(edited(bare, least)) == {*ends, "on its tyres", "springs settled", "loaded as used"}


def test_a_plan_that_holds_is_said_before_anything_is_ordered() -> None:
    build = sample(RANCH, **{"suspension.rate_n_per_mm": 2.0})
    _, solution = ordered_for(build, solve(build))
    said = " ".join(texts_of(build))
    assert ("Do not order before that is cleared." in said) == (solution.verdict == "hold")
    clear = sample(RANCH)
    assert "Do not order" not in " ".join(texts_of(clear))


def test_a_load_that_is_open_is_never_told_as_the_whole() -> None:
    whole, open_ = sample(RANCH), sample(RANCH, **{"vehicle.mass_centre_height_mm": None})
    assert "as far as entered: ask first" not in texts_of(whole)
    assert "as far as entered: ask first" in texts_of(open_)


def test_a_page_a_section_and_the_bearing_on_the_front_one() -> None:
    van = next(path for path in SAMPLES if path.stem == "long_van_two_piece")
    build = sample(van, **{"shaft.bearing_bolts_mm": 150.0})
    front, rear = order_of(build, solve(build), printed_on=DAY).pages
    first, second = ([words.text for words in words_on(page)] for page in (front, rear))
    for words in ("support bearing", "Bolt spacing", "150.0 mm", "within 2° ○"):
        assert words in first
        assert words not in second
    assert "collapsed: spline bottomed" in second
    assert "collapsed: spline bottomed" not in first
    assert "Shaft order · 2 of 2" in second


def test_the_empty_order_has_a_box_for_every_size() -> None:
    page = order_of(Build(), solve(Build()), printed_on=DAY).pages[0]
    wide = [box for box in boxes_on(page) if box[2] - box[0] > 60.0]
    assert len(wide) >= 28
    for box in wide:
        assert box[3] - box[1] >= 17.9  # a pencil writes in it
    assert not any(words.text in {"None", "nan"} for words in words_on(page))


@pytest.mark.parametrize("words", [[], ["--paper", "a4"]])
def test_the_command_writes_it(words: list[str], tmp_path: Path, qapp: object) -> None:
    assert qapp
    out = tmp_path / "order.pdf"
    assert main(["order", str(RANCH), "-o", str(out), *words]) == 0
    (page,) = PdfReader(out).pages
    text = "".join(page.extract_text().split())
    for said in ("SHAFTORDER", "Indoubt:callfirst.", "Worksifmadeupto"):
        assert said in text
    assert float(page.mediabox.width) == pytest.approx(595.3 if words else 612.0, abs=0.6)


@pytest.mark.parametrize("teeth", [10, 16, 24, 31])
def test_teeth_are_counted_whole_or_by_halves_and_never_to_a_hundredth(teeth: int) -> None:
    for tenths in range(1, 3601):
        said = teeth_words(tenths / 10.0 / (360.0 / teeth))
        assert re.fullmatch(r"\d*½? (tooth|teeth)|between \d+ and \d+ teeth|less than a tooth", said), said
        assert not said.startswith((" ", "0"))
    for whole in range(1, teeth):
        tooth = 360.0 / teeth
        assert teeth_words(round(whole * tooth, 1) / tooth) == f"{whole} {'tooth' if whole == 1 else 'teeth'}"
        assert teeth_words(round((whole + 0.5) * tooth, 1) / tooth) == f"{whole}½ teeth"


@pytest.mark.parametrize("name", ["ranch_truck_swap", "long_van_two_piece", "front_axle_lift"])
def test_the_sheet_names_the_stronger_tube_that_the_order_does(name: str) -> None:
    build = sample(RANCH.with_stem(name))
    pages = order_of(build, solve(build), printed_on=DAY).pages
    build, solution = ordered_for(build, solve(build))
    tubes = ("front_tube", "rear_tube") if name == "long_van_two_piece" else ("tube",)
    rows = [words for label, words in shaft_order(build, solution) if label.lower().endswith("tube")]
    for tube, row, page in zip(tubes, rows, pages, strict=True):
        asked = stronger_mm(solution, tube)
        assert (asked is None) == (name == "front_axle_lift")
        said = "" if asked is None else both_lengths(asked, build.display)[0]
        assert ("; stronger, see findings: " in row) == (asked is not None)
        assert said in row.partition("; stronger")[2]
        assert any(words.text == f"{said} Ø: see findings" for words in words_on(page)) == (asked is not None)
