"""Every page that the program makes of the samples, told as one short code a layer."""

import zlib
from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache
from pathlib import Path

from app.curves.curves import curves_of
from app.curves.panels import panels
from app.drawing.drawing import Drawing, Style, drawing, silhouette
from app.drawing.fonts import width
from app.drawing.items import Layer, Page, Shape
from app.drawing.palette import DARK, LIGHT
from app.files import read_build
from app.papers.brackets import bracket_pages
from app.papers.card import card_pages
from app.papers.order import order_pages
from app.papers.tacking import tacking_pages
from app.papers.templates import template_pages
from app.sheet import sheet_pages
from geometry.document import Build
from geometry.words.solution import Solution
from geometry.words.solve import Work, solved
from tests.app.drawing.drawn import SAMPLES, STATES, subject_of

KEPT = Path(__file__).parent / "pages.txt"
SIZES = ((718, 528), (1238, 719))
DAY = date(2026, 1, 15)


def fonts() -> str:
    """How wide some words are: where another machine measures otherwise, nothing can be compared."""
    return f"{width('The quick brown fox 0123456789°', 40.0):.3f} {width('jumps over', 40.0, bold=True):.3f}"


def codes() -> dict[str, str]:
    """For each page the codes of its layers."""
    return {name: " ".join(_code(layer) for layer in page.layers) for name, page in _pages()}


def _code(layer: object) -> str:
    return f"{zlib.crc32(_told(layer).encode()):08x}"


def _told(one: object) -> str:
    """A layer, an item, or a number of it: to a tenth of a pixel, so that last bits do not count.

    Moved a little, as halves and quarters of a pixel would lie just where a tenth begins.
    """
    if isinstance(one, float):
        return f"{round(one + 0.013, 1) + 0.0:.1f}"
    if isinstance(one, str) or not isinstance(one, Iterable):
        return str(one)
    return f"({','.join(map(_told, one))})"


@cache
def _answered(name: str) -> tuple[Build, Solution]:
    build = read_build(SAMPLES[name])
    return build, solved(Work(build))


def _pages() -> Iterator[tuple[str, Page]]:
    for name in SAMPLES:
        build, solution = _answered(name)
        for state in STATES:
            subject = subject_of(build, state)
            if subject is None:
                continue
            for size in SIZES:
                yield f"drawing {name} {state} {size[0]}", drawing(subject, size, Style(LIGHT))
            yield f"drawing {name} {state} dark", drawing(subject, SIZES[0], Style(DARK))
            if state == "ride":
                yield f"pressed {name}", _pressed(drawing(subject, SIZES[0], Style(LIGHT)))
                yield f"card {name}", silhouette(subject, (290.0, 140.0), LIGHT)
        curves = curves_of(build, solution)
        if curves is not None:
            for travel_mm in (0.0, 20.0):
                yield f"curves {name} {travel_mm:.0f}", panels(curves, (800.0, 120.0), LIGHT, travel_mm, loaded=True)
            yield f"curves {name} dark", panels(curves, (800.0, 120.0), DARK, 20.0, loaded=False)
        yield from _papers(name, build, solution)
    for paper in ("letter", "a4"):
        made = card_pages(None, paper, printed_on=DAY)
        yield from ((f"measuring card blank {paper} {number}", page) for number, page in enumerate(made, 1))


def _papers(name: str, build: Build, solution: Solution) -> Iterator[tuple[str, Page]]:
    of_build = {
        "sheet": sheet_pages, "shaft order": order_pages, "brackets": bracket_pages, "tacking": tacking_pages,
        "templates": template_pages,
    }  # fmt: skip
    for paper in ("letter", "a4"):
        for what, pages in of_build.items():
            made = pages(build, solution, paper, source_name=f"{name}.json", printed_on=DAY)
            yield from ((f"{what} {name} {paper} {number}", page) for number, page in enumerate(made, 1))
        made = card_pages(build, paper, source_name=f"{name}.json", printed_on=DAY)
        yield from ((f"measuring card {name} {paper} {number}", page) for number, page in enumerate(made, 1))


def _pressed(made: Drawing) -> Page:
    """What may be pressed of a drawing, as if it were drawn."""
    outlines = [Shape(one.outline, f"{one.part} {one.finding} {one.obstacle}") for one in made.targets]
    return Page(made.width, made.height, made.theme, (Layer(tuple(outlines)),))


def keep() -> None:
    """Write the codes down as those that are meant."""
    lines = [f"fonts: {fonts()}", *(f"{name}: {told}" for name, told in codes().items())]
    KEPT.write_text("\n".join(lines) + "\n", encoding="utf-8")


def kept() -> dict[str, str]:
    """The codes that were written down."""
    pairs = (line.partition(": ") for line in KEPT.read_text(encoding="utf-8").splitlines())
    return {name: told for name, _, told in pairs}
