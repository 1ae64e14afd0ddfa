"""Curves against the axle's travel: joint angles, uneven running, slip and gap, with the limits that judge them.

`curves` says what is shown, `layout` where on a page, `artists` and `figure` draw it; only the last two know
matplotlib, and none knows Qt. Every value is a `Solution`'s, every limit one of `geometry.judge.limits`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from pathlib import Path

    from geometry.document import Build
    from geometry.words.solution import Solution


def save_plots(
    build: Build, solution: Solution, path: str | Path, file_format: Literal["svg", "png", "pdf"] | None = None
) -> None:
    """Write the curves to an SVG, PNG or PDF file; the ending of the name decides where no format is given.

    Raises
    ------
    ValueError
        If the ending is none of these, or the travel is not known; nothing is written.
    """
    from app.travel_plots.figure import write

    write(build, solution, path, file_format)
