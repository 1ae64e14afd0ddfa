"""Every paper in one table: what it is called, its command, its file's ending, and the functions that make it.

Menus, command line and window all go by it. What draws a paper is imported when it is first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, TypeAlias

if TYPE_CHECKING:
    from app.drawing.items import Page
    from app.sheet.paper import PaperName
    from geometry import Build, Solution

What = Literal["sheet", "card", "order", "brackets", "tacking", "templates"]


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: `title` heads it, `word` is its command and `says` that command's line of help.

    `module` has the function `pages`; `solved` tells whether that takes the solution too, `blank` whether it can be had
    without a build. `menu` are its words in the menu of papers, to be written and as it prints; None of the
    sheet, which stands in the file menu itself. `kinds` are the endings that its file may have, the usual one first.
    """

    title: str
    word: str
    says: str
    module: str
    pages: str
    menu: tuple[str, str] | None = None
    kinds: tuple[str, ...] = (".pdf",)
    solved: bool = True
    blank: bool = False

    @property
    def not_written(self) -> str:
        """What is said where its file could not be written."""
        return f"The {self.title.lower()} {'were' if self.title.endswith('s') else 'was'} not written"

    @property
    def printed(self) -> str:
        """What its preview is called."""
        return f"{self.title} as {'they print' if self.title.endswith('s') else 'it prints'}"


PAPERS: Final[Mapping[What, Paper]] = {
    "sheet": Paper("Build sheet", "sheet", "write the build sheet as PDF", "app.sheet", "sheet_pages"),
    "card": Paper(
        "Measuring card", "card", "write the measuring card as PDF, blank without a build",
        "app.papers.card", "card_pages",
        ("&Measuring card as PDF…", "Measuring card as it &prints…"), solved=False, blank=True,
    ),
    "order": Paper(
        "Shaft order", "order", "write the order for the shaft's builder as PDF",
        "app.papers.order", "order_pages",
        ("&Shaft order as PDF…", "Shaft order as it p&rints…"),
    ),
    "brackets": Paper(
        "Perches and brackets", "brackets", "write the page of perches and brackets as PDF",
        "app.papers.brackets", "bracket_pages",
        ("Perches and &brackets as PDF…", "Perches and brackets as the&y print…"),
    ),
    "tacking": Paper(
        "Tacking sequence", "tacking", "write the tacking sequence as PDF",
        "app.papers.tacking", "tacking_pages",
        ("Tac&king sequence as PDF…", "Tacking sequence as &it prints…"),
    ),
    "templates": Paper(
        "Templates", "template", "write templates at true scale, as PDF or DXF",
        "app.papers.templates", "template_pages",
        ("&Templates as PDF or DXF…", "T&emplates as they print…"), kinds=(".pdf", ".dxf"),
    ),
}  # fmt: skip
"""In the order of the menu."""


def ending(what: What) -> str:
    """How the name of a paper's file ends, behind the build's own.

    >>> ending("order")
    '_order.pdf'
    """
    return f"_{what}{PAPERS[what].kinds[0]}"


BEHIND: Final[tuple[What, ...]] = ("card", "order", "brackets", "tacking", "templates")
"""Papers that may go behind the sheet as further pages of it, in this order."""


Told: TypeAlias = "tuple[Build, Solution]"
"""What a paper tells of: a build and its answer."""


def on_paper(build: Build, solution: Solution, beside: Solution | None) -> Told:
    """A driveline as paper tells of it: of two, the title names it and the verdict's sentence what the other one is."""
    if beside is None:
        return build, solution
    from geometry.document.sides import end_of
    from geometry.words.both import says_beside
    from geometry.words.wording import capital

    end = end_of(build)
    title = f"{capital(end)} shaft: {build.title or 'untitled build'}"
    says = says_beside(end, solution, beside.verdict)
    return build.model_copy(update={"title": title}), replace(solution, says=says, beside=beside.verdict)


def save_paper(
    what: What, told: Sequence[Told], path: Path, paper: PaperName, source_name: str, behind: Sequence[What] = ()
) -> None:
    """Write a paper to a file, with others behind it; of several drivelines one after the other, of none a blank one.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    if path.suffix.lower() == ".dxf":
        from app.papers.templates import dxf_text

        path.write_text(dxf_text(*told[0]), encoding="utf-8", newline="\n")
        return
    from app.drawing.picture_files import pdf_bytes
    from app.sheet.flow import plain

    of: Sequence[tuple[Build | None, Solution | None]] = told or [(None, None)]
    pages = [page for one in of for page in paper_pages(what, *one, paper, source_name, behind)]
    path.write_bytes(pdf_bytes(pages, (plain(told[0][0].title) if told else "") or PAPERS[what].title))


def paper_pages(
    what: What,
    build: Build | None,
    solution: Solution | None,
    paper: PaperName,
    source_name: str,
    behind: Sequence[What] = (),
) -> Sequence[Page]:
    """Its pages to be painted, on a printer and in its preview, with those of others behind it."""
    made: list[Page] = []
    for one in (what, *behind):
        kind = PAPERS[one]
        about = (build, solution) if kind.solved else (build,)
        made += getattr(import_module(kind.module), kind.pages)(*about, paper, source_name=source_name)
    return made
