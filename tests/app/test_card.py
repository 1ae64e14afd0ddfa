"""The measuring card on paper: nothing over anything else or outside the margins, all of it there, large enough."""

import itertools
import math
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.cautions import CAUTIONS
from app.commands import main
from app.drawing.items import Box, Disc, Page, Shape, Words
from app.drawing.palette import contrast
from app.measuring.ladder import ladder_of
from app.measuring.usual import BuildKind, usual
from app.measuring.walk import lines_of
from app.papers.card import Card, card_of
from app.papers.values import kind_at
from app.sheet.paper import SIZES, PaperName
from app.units import as_kind, show
from geometry import Build, edited
from geometry.document import value_at
from geometry.document.entries import numeric_paths, unit_of
from tests.app.sheets import DAY, LONG_NAME, PAPERS, SAMPLES, UNITS, box_of, sample

KINDS = ["rear leaf one_piece", "rear leaf two_piece", "rear links one_piece", "rear links two_piece",
         "front leaf one_piece", "front leaf two_piece", "front links one_piece", "front links two_piece"]  # fmt: skip
ODD = ["blank", "long title", "sixteenths", "many brackets"]
CASES = [
    (name, unit, paper)
    for name in (*(path.stem for path in SAMPLES), *KINDS, *ODD)
    for unit, paper in zip(UNITS, PAPERS, strict=True)
]
every_case = pytest.mark.parametrize("case", CASES, ids=", ".join)
SMALLEST_PT, HAIR_PX = 8.0, 0.3


def build_of(name: str, unit: str) -> Build | None:
    units = UNITS[unit]
    if name == "blank":
        return None
    if name == "long title":
        return sample(title="W" * 200, **units)
    if name == "sixteenths":
        return sample(**{"display.length": "inch", "display.inches": "sixteenths"})
    if name == "many brackets":
        return sample(shocks=({},) * 16, torque_bars=({},) * 8, **units)
    found = [path for path in SAMPLES if path.stem == name]
    if found:
        return sample(found[0], **units)
    axle, suspension, shaft = name.split()
    return edited(Build(), {"axle.end": axle, "suspension": {"kind": suspension}, "shaft": {"kind": shaft}, **units})


@cache
def card(name: str, unit: str, paper: PaperName) -> Card:
    return card_of(build_of(name, unit), paper, source_name=LONG_NAME, printed_on=DAY)


@pytest.fixture
def one(case: tuple[str, str, PaperName], qapp: object) -> Card:
    """The card of a case."""
    assert qapp
    return card(*case)


def words_on(page: Page) -> list[Words]:
    return [item for layer in page.layers for item in layer.items if isinstance(item, Words)]


def rings_on(page: Page) -> list[Disc]:
    """Rings with numbers: the only circles of their size that are drawn over all else."""
    return [item for layer in page.layers for item in layer.items
            if isinstance(item, Disc) and round(item.radius, 3) in {9.6, 12.2} and item.stroke is not None]  # fmt: skip


def boxes_on(page: Page) -> list[Box]:
    """Boxes to tick or to write into, of all that is not cut off at a view's edge."""
    return [box_of(item) for layer in page.layers if layer.box is None for item in layer.items
            if isinstance(item, Shape) and item.closed and not item.fill and len(item.points) == 4]  # fmt: skip


def shared(one: Box, other: Box) -> tuple[float, float]:
    return min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])


def clash(one: Box, other: Box) -> bool:
    across, down = shared(one, other)
    return across > HAIR_PX and down > 1.0


@every_case
def test_no_words_lie_over_words_rings_or_the_edge_of_a_box(one: Card) -> None:
    for page in one.pages:
        words = [(box_of(item), item.text) for item in words_on(page)]
        for (box, text), (other, second) in itertools.combinations(words, 2):
            assert not clash(box, other), (text, second)
        rings = [box_of(ring) for ring in rings_on(page)]
        for box, other in itertools.combinations(rings, 2):
            assert not clash(box, other), (box, other)
        for box, text in words:
            for ring in rings:
                inside = ring[0] < box[0] and box[2] < ring[2]
                across, down = shared(box, ring)
                assert inside or across <= 1.5 or down <= 2.0, (text, ring)
            for edge in boxes_on(page):
                within = edge[0] <= box[0] and box[2] <= edge[2] and edge[1] <= box[1] + 1.0 and box[3] <= edge[3] + 1.5
                assert within or not clash(box, edge), text


@every_case
def test_no_line_runs_through_words(one: Card) -> None:
    for page in one.pages:
        rules = [
            box_of(item) for layer in page.layers if layer.box is None for item in layer.items
            if isinstance(item, Shape) and not item.closed and len(item.points) == 2 and item.stroke is not None
            and item.points[0][1] == item.points[1][1] and item.points[1][0] - item.points[0][0] > 150.0
        ]  # fmt: skip
        rings = [box_of(ring) for ring in rings_on(page)]  # a ring covers the line that it stands on
        for item in words_on(page):
            box = box_of(item)
            if any(ring[0] < box[0] and box[2] < ring[2] and ring[1] < box[1] and box[3] < ring[3] for ring in rings):
                continue
            for left, y, right, _ in rules:
                assert not (box[0] < right and left < box[2] and box[1] + 1.0 < y < box[3] - 2.5), item.text


def gauges_on(page: Page) -> list[Box]:
    """The bodies of angle gauges, 20 by 11.5 pixels, turned as the face that they lie on."""
    return [box_of(item) for layer in page.layers for item in layer.items
            if isinstance(item, Shape) and len(item.points) == 4 and item.stroke is not None
            and item.stroke.width == 1.7 and math.dist(*item.points[:2]) == pytest.approx(20.0)]  # fmt: skip


@every_case
def test_no_gauge_lies_over_words_or_beyond_its_view(one: Card) -> None:
    for page, views in zip(one.pages, one.views, strict=False):
        gauges = gauges_on(page)
        assert gauges
        for gauge in gauges:
            assert any(box[1] <= gauge[1] + 1.0 and gauge[3] <= box[3] + 1.0 for box in views), gauge
            for item in words_on(page):
                assert min(shared(box_of(item), gauge)) <= 1.0, item.text


def test_which_way_it_leans_is_ticked_side_by_side_where_there_is_room() -> None:
    for paper in PAPERS:
        texts = [words for page in card_of(None, paper, printed_on=DAY).pages for words in words_on(page)]
        by_side = 0
        for ways in (
            ("tail down", "tail up"),
            ("rear low", "rear high"),
            ("to right", "to left"),
            ("clockwise", "anti"),
        ):
            firsts, seconds = ([one for one in texts if one.text == words] for words in ways)
            assert len(firsts) == len(seconds)
            for first, second in zip(firsts, seconds, strict=True):
                beside = first.base == second.base
                assert second.x > box_of(first)[2] if beside else second.base - first.base == pytest.approx(12.4)
                by_side += beside
        assert by_side >= 3


def test_from_which_flange_is_not_guessed() -> None:
    """Nothing says which one before it is entered: the same distance from the other one would be a hand's width off."""
    for build in (None, usual(BuildKind())):
        for page in card_of(build, printed_on=DAY).pages:
            assert not any("wheel flange" in words.text or "end flange" in words.text for words in words_on(page))


@every_case
def test_nothing_leaves_the_margins(one: Card, case: tuple[str, str, PaperName]) -> None:
    left, top, right, bottom = one.frame
    wide, high = SIZES[case[2]]
    assert min(left, top, wide - right, high - bottom) >= 96.0 / 4.0  # what printers cannot reach
    for page in one.pages:
        assert (page.width, page.height) == (wide, high)
        for layer in page.layers:
            for box in [layer.box] if layer.box else [box_of(item) for item in layer.items]:
                assert box[0] >= left - 1.0
                assert box[1] >= top - 1.0
                assert box[2] <= right + 1.0
                assert box[3] <= bottom + 1.0


@every_case
def test_no_type_is_smaller_than_8_pt_or_too_pale_for_paper(one: Card) -> None:
    for page in one.pages:
        for words in words_on(page):
            assert words.pt >= SMALLEST_PT, words.text
            ground = "#FFFFFF" if words.colour != "#FFFFFF" else "#1F2A33"  # a filled ring's number
            assert contrast(words.colour, ground) >= 4.5, words.text


@every_case
def test_every_line_is_there_once_with_its_number_and_short_words(one: Card, case: tuple[str, str, PaperName]) -> None:
    build = build_of(case[0], case[1]) or Build()
    written = [words.text for page in one.pages for words in words_on(page)]
    for number, line in enumerate(lines_of(build), 1):
        assert written.count(line.title) >= 1, line
        assert str(number) in written
    assert sum(text in {line.short for line in lines_of(build)} for text in written) == len(lines_of(build))


@every_case
def test_cautions_and_what_the_steps_buy_are_there(one: Card, case: tuple[str, str, PaperName]) -> None:
    text = " ".join(words.text for page in one.pages for words in words_on(page))
    for caution in (*CAUTIONS[:2], CAUTIONS[5]):  # the vehicle stands safely; nothing runs; local rules
        assert caution in text
    for rung in ladder_of(build_of(case[0], case[1]) or Build()).rungs:
        assert f"{rung.values} values" in text
        assert f"{len(rung.judged)} of " in text


def test_a_number_is_printed_and_not_boxed_and_a_direction_is_ticked_not_signed() -> None:
    build = sample(**{"powertrain.slope_deg": -2.5})
    pages = card_of(build, printed_on=DAY).pages
    text = [words for page in pages for words in words_on(page)]
    shown = show(2.5, "deg", build.display)
    assert any(words.text == shown and words.bold for words in text)
    assert not any("−" in words.text or words.text.startswith("-") for words in text)
    (up,) = (words for words in text if words.text == "tail up")
    (down,) = (words for words in text if words.text == "tail down")
    assert up.bold
    assert not down.bold
    assert any(words.text == "left" for words in text)  # the output joint lies 30 mm to the left
    blank = card_of(None, printed_on=DAY).pages
    assert sum(len(boxes_on(page)) for page in blank) > sum(len(boxes_on(page)) for page in pages)
    assert not any(words.bold for page in blank for words in words_on(page) if words.text in {"tail up", "tail down"})


@pytest.mark.parametrize("kind", [BuildKind(), BuildKind(suspension="links"), BuildKind(axle="front")])
def test_a_whole_build_leaves_no_box_but_those_of_the_state(kind: BuildKind) -> None:
    """All that the card asks for is entered in a usual vehicle."""
    filled = card_of(usual(kind), printed_on=DAY).pages
    wide = [box for page in filled for box in boxes_on(page) if box[2] - box[0] > 30.0]
    assert len(wide) == 3 * 3  # two loads and a rail's slope, three times


def test_numbers_in_the_views_are_those_of_the_lines() -> None:
    """A ring beside the pinion has the number of the pinion's slope."""
    (number,) = [n for n, line in enumerate(lines_of(None), 1) if line.paths == ("axle.pinion_slope_deg",)]
    texts = [words.text for page in card_of(None, printed_on=DAY).pages for words in words_on(page)]
    assert texts.count(str(number)) >= 3  # its line, the driveline, the axle
    assert "nose up +" in texts


@pytest.mark.parametrize(("words", "size"), [([], (612.0, 792.0)), (["--paper", "a4"], (595.2, 841.8))])
def test_the_command_writes_a_blank_card_and_one_of_a_build(
    words: list[str], size: tuple[float, float], tmp_path: Path, qapp: object
) -> None:
    assert qapp
    out = tmp_path / "card.pdf"
    for build in ([], [str(SAMPLES[0])]):
        assert main(["card", *build, "-o", str(out), *words]) == 0
        pages = PdfReader(out).pages
        assert len(pages) == 2 or (build and len(pages) == 3)  # a front axle with a double joint asks for more
        box = pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.6) or build
        text = "".join(pages[0].extract_text().split())
        assert "MEASURINGCARD" in text
    assert value_at(sample(SAMPLES[0]), "title").split()[0] in text


def test_every_number_on_paper_is_of_the_unit_that_is_entered() -> None:
    """Turns of a tyre once were printed a kilometre on a card in inches, where the form has them a mile."""
    never_on_paper = ("yield_mpa", "odometer_km")
    for path in numeric_paths():
        if not path.endswith(never_on_paper) and not path.rpartition(".")[2].isdecimal():
            unit = as_kind(unit_of(path) or "ratio")
            assert kind_at(path) == ("ratio" if unit == "count" else unit), path
    pages = card("wagon_both_shafts", "inch", "letter").pages
    # 391 a kilometre times 1.609344
    assert "629 /mile" in {item.text for page in pages for item in words_on(page)}
