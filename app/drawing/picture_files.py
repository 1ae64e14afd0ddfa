"""A drawing as a file: SVG, PNG or PDF."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter

from app.drawing.drawing import Drawing, drawing
from app.drawing.fonts import FAMILY, PX_PER_PT, application
from app.drawing.items import Disc, Item, Page, Stroke, Words
from app.drawing.painter import paint, paint_pages
from app.drawing.subject import Subject
from geometry.document import Build
from geometry.words.solution import Solution

DENSITY: Final = 2.0
"""Pixels of a PNG to one of the page."""
SIZE: Final = (1240.0, 700.0)
_POINTS: Final = 72.0 / 96.0


def picture_bytes(page: Page, kind: str) -> bytes:
    """The drawing as the contents of a file of a kind: ".svg", ".png" or ".pdf".

    Raises
    ------
    ValueError
        For another kind.
    """
    if kind == ".svg":
        return svg_text(page).encode()
    if kind == ".png":
        return png_bytes(page)
    if kind == ".pdf":
        return pdf_bytes([page])
    raise ValueError(f"{kind} is no kind of picture; use .svg, .png or .pdf")


def png_bytes(page: Page, density: float = DENSITY) -> bytes:
    """The drawing as a PNG picture."""
    image = QImage(round(page.width * density), round(page.height * density), QImage.Format.Format_ARGB32_Premultiplied)
    with QPainter(image) as painter:
        painter.scale(density, density)
        paint(painter, page)
    held = QBuffer()
    held.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(held, "PNG")  # type: ignore[call-overload]
    return bytes(held.data().data())


def pdf_bytes(pages: Sequence[Page], title: str = "") -> bytes:
    """Pages of one size as a PDF, lines as lines and words as words."""
    held = QBuffer()
    held.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(held)
    writer.setTitle(title)
    writer.setCreator("Shaftwright")
    writer.setResolution(1200)
    size = QSizeF(pages[0].width * _POINTS, pages[0].height * _POINTS)
    writer.setPageSize(QPageSize(size, QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.ExactMatch))
    writer.setPageMargins(QMarginsF())
    paint_pages(writer, pages)
    return bytes(held.data().data())


def svg_text(page: Page) -> str:
    """The drawing as SVG 1.1, words as words: Qt's own writer draws what lies beyond a view's edge."""
    out = BytesIO()

    def put(text: str) -> None:
        out.write(text.encode())

    put('<?xml version="1.0" encoding="UTF-8"?>\n')
    put(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{page.width:g}" height="{page.height:g}" '
        f'viewBox="0 0 {page.width:g} {page.height:g}" font-family={quoteattr(FAMILY + ", sans-serif")}>\n'
    )
    put(f'<rect width="100%" height="100%" fill="{page.theme.paper}"/>\n')
    for number, layer in enumerate(page.layers):
        if layer.box is None:
            put("<g>\n")
        else:
            left, top, right, bottom = layer.box
            put(
                f'<clipPath id="view{number}"><rect x="{left:g}" y="{top:g}" width="{right - left:g}" '
                f'height="{bottom - top:g}"/></clipPath>\n<g clip-path="url(#view{number})">\n'
            )
        for item in layer.items:
            put(_svg(item))
        put("</g>\n")
    put("</svg>\n")
    return out.getvalue().decode()


def _svg(item: Item) -> str:
    if isinstance(item, Words):
        weight = ' font-weight="bold"' if item.bold else ""
        return (
            f'<text x="{item.x:.2f}" y="{item.base:.2f}" font-size="{item.pt * PX_PER_PT:.2f}" fill="{item.colour}"'
            f'{weight} xml:space="preserve">{escape(item.text)}</text>\n'
        )
    if isinstance(item, Disc):
        x, y = item.centre
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{item.radius:.2f}" {_fill(item.fill)}{_stroke(item.stroke)}/>\n'
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in item.points)
    name = "polygon" if item.closed else "polyline"
    opacity = f' fill-opacity="{item.opacity:g}"' if item.opacity < 1.0 else ""
    return f'<{name} points="{points}" {_fill(item.fill if item.closed else "")}{opacity}{_stroke(item.stroke)}/>\n'


def _fill(colour: str) -> str:
    return f'fill="{colour or "none"}"'


def _stroke(stroke: Stroke | None) -> str:
    if stroke is None:
        return ""
    dash = f' stroke-dasharray="{" ".join(f"{one:g}" for one in stroke.dash)}"' if stroke.dash else ""
    return f' stroke="{stroke.colour}" stroke-width="{stroke.width:g}" stroke-linejoin="round"{dash}'


def sketch(build: Build, solution: Solution) -> Drawing:
    """The drawing at ride height as it is written to a file."""
    application()
    return drawing(Subject(build, solution, solution), SIZE)
