"""Contrast of every pair in use, computed from what is drawn: words 4.5 : 1, lines with a meaning 3 : 1 (WCAG 2.2)."""

import pytest
import shapely

from app.drawing.board import Board
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Disc, Point, Shape, Words
from app.drawing.palette import DARK, LIGHT, Theme, contrast, mixed, verdict_shape
from geometry.document import Build
from tests.app.drawing.drawn import SAMPLES, STATES, page, subject, subject_of

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])


def ground(made: Drawing, layer: int, before: int, at: Point) -> str:
    """Colour under a point as it was painted up to an item."""
    colour = made.theme.paper
    for number, one in enumerate(made.layers[: layer + 1]):
        if one.box is not None and not (one.box[0] <= at[0] <= one.box[2] and one.box[1] <= at[1] <= one.box[3]):
            continue
        for item in one.items[:before] if number == layer else one.items:
            if isinstance(item, Disc) and item.fill:
                if (item.centre[0] - at[0]) ** 2 + (item.centre[1] - at[1]) ** 2 < item.radius**2:
                    colour = item.fill
            elif isinstance(item, Shape) and item.fill and item.closed and len(item.points) > 2:
                left, top, right, bottom = shapely.Polygon(item.points).bounds
                near = left <= at[0] <= right and top <= at[1] <= bottom
                if near and shapely.Polygon(item.points).buffer(0.0).covers(shapely.Point(at)):
                    colour = mixed(item.fill, colour, item.opacity)
    return colour


def worst_words(made: Drawing) -> list[tuple[float, str, str, str]]:
    """Contrast of each piece of words on what lies under its ends and its middle."""
    boxes = {(round(bounds[0], 3), text): bounds for bounds, text in made.words}
    found = []
    for layer, one in enumerate(made.layers):
        for place, item in enumerate(one.items):
            if isinstance(item, Words):
                left, top, right, bottom = boxes[round(item.x, 3), item.text]
                for x in (left + 1.0, (left + right) / 2.0, right - 1.0):
                    under = ground(made, layer, place, (x, (top + bottom) / 2.0))
                    found.append((contrast(item.colour, under), item.text, item.colour, under))
    return found


@THEMES
@pytest.mark.parametrize("name", SAMPLES)
def test_words_are_read_on_what_lies_under_them(name: str, theme: Theme) -> None:
    for state in STATES:
        made = page(name, (1240, 700), state, theme)
        if made is not None:
            ratio, text, colour, under = min(worst_words(made))
            assert ratio >= 4.5, f"{text!r}: {colour} on {under}"


@THEMES
@pytest.mark.parametrize("name", SAMPLES)
def test_words_of_the_whole_vehicle_are_read(name: str, theme: Theme) -> None:
    shown = subject(name)
    assert shown is not None
    made = drawing(shown, (1240, 700), Style(theme), look="whole")
    ratio, text, colour, under = min(worst_words(made))
    assert ratio >= 4.5, f"{text!r}: {colour} on {under}"


@THEMES
def test_words_of_an_empty_page_are_read(theme: Theme) -> None:
    shown = subject_of(Build())
    assert shown is not None
    assert min(worst_words(drawing(shown, (860, 560), Style(theme))))[0] >= 4.5


@THEMES
def test_lines_with_a_meaning_stand_out_from_paper(theme: Theme) -> None:
    """Leaders, marks, dimensions, centre lines, the shaft's edge, outlines of parts, tyres, rail, what is assumed."""
    shades = Board(theme)
    meaning = {
        "leader": theme.ink, "shaft": theme.accent, "hold": theme.hold, "caution": theme.caution, "clear": theme.clear,
        "unknown": theme.unknown, "dimension": theme.muted, "tyre, rail": shades.tint(0.50), "case": shades.tint(0.78),
        "leaf": shades.tint(0.66),
    }  # fmt: skip
    for name, colour in meaning.items():
        assert contrast(colour, theme.paper) >= 3.0, name


@THEMES
@pytest.mark.parametrize("name", SAMPLES)
def test_every_leader_mark_and_edge_in_use_stands_out(name: str, theme: Theme) -> None:
    """Of lines as they were drawn: leaders, arrows and outlines of parts; seams within a part carry no meaning."""
    quiet = {Board(theme).tint(share) for share in (0.08, 0.13, 0.16, 0.18, 0.22, 0.28, 0.3, 0.30, 0.35, 0.4, 0.40)}
    quiet |= {
        Board(theme).shade(share) for share in (0.14, 0.22, 0.30, 0.40, 0.50, 0.62)
    }  # of tubes, within their edge
    for state in STATES:
        made = page(name, (1240, 700), state, theme)
        if made is None:
            continue
        for layer in made.layers:
            for item in layer.items:
                stroke = item.stroke if isinstance(item, Shape | Disc) else None
                if stroke is None or stroke.colour in quiet or stroke.colour == theme.paper:
                    continue
                assert contrast(stroke.colour, theme.paper) >= 3.0, stroke


@THEMES
def test_verdicts_are_told_apart_by_shape_too(theme: Theme) -> None:
    """A square has four corners, a triangle three, clear a full circle, unknown an open one."""
    assert [len(verdict_shape(one)) for one in ("hold", "caution", "clear", "unknown")] == [4, 3, 0, 0]
    board = Board(theme)
    board.mark(10.0, 10.0, 6.0, "clear")
    board.mark(30.0, 10.0, 6.0, "unknown")
    board.finish()
    clear, unknown = board.layers[0].items
    assert isinstance(clear, Disc)
    assert isinstance(unknown, Disc)
    assert clear.fill == theme.clear
    assert (unknown.fill, unknown.stroke is not None) == ("", True)


@THEMES
def test_the_shafts_edge_stands_out_from_its_fill(theme: Theme) -> None:
    """Tube and yoke are told from paper by an edge of accent, whatever their shade."""
    made = page("ranch_truck_swap", (1240, 700), "ride", theme)
    assert made is not None
    edges = [one for layer in made.layers for one in layer.items if isinstance(one, Shape) and one.stroke
             and one.stroke.colour == theme.accent and one.closed]  # fmt: skip
    assert len(edges) >= 6
