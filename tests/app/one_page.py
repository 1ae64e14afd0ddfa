"""What every one-page paper is held to: the builds it is drawn of, nothing over anything, nothing past the margins."""

import itertools
from collections.abc import Iterator
from functools import cache

import pytest

from app.drawing.items import Page, Words
from app.measuring.usual import BuildKind, usual
from app.sheet.paper import SIZES, PaperName, frame_of
from geometry import Build, Solution, edited, solve
from tests.app.sheets import PAPERS, RANCH, SAMPLES, UNITS, box_of, sample
from tests.app.test_card import SMALLEST_PT, boxes_on, clash, words_on

ODD = ("many brackets", "much to fit", "front")
"""Builds with more brackets than a page has room for, with all that may be fitted first, and of another kind."""
CASES = [
    *((path.stem, unit, paper) for path in SAMPLES for unit in UNITS for paper in PAPERS),
    *(("empty", unit, paper) for unit in UNITS for paper in PAPERS),
    ("long title", "inch", "letter"),
    *((name, unit, paper) for name in ODD for unit, paper in zip(UNITS, PAPERS, strict=True)),
]
MUCH = {
    "plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "block", "plan.front_lift_mm": 76.2, "plan.front_lift_by": "block",
    "plan.axle_shim_deg": 2.0, "plan.mount_shim_mm": -12.7, "plan.powertrain_shift_mm": (-12.7, 6.35),
    "plan.output_adapter_mm": 12.7, "plan.pinion_adapter_mm": 19.05,
}  # fmt: skip
every_case = pytest.mark.parametrize("case", CASES, ids=", ".join)


@cache
def solved(name: str, unit: str) -> tuple[Build, Solution]:
    found = [path for path in SAMPLES if path.stem == name]
    units = UNITS[unit]
    if name == "empty":
        build = edited(Build(), units)
    elif name == "many brackets":
        whole = usual(BuildKind())
        build = edited(whole, {"shocks": whole.shocks * 8, "torque_bars": whole.torque_bars * 4, **units})
    elif name == "much to fit":
        build = sample(RANCH, **MUCH, **units)
    elif name == "front":
        build = edited(usual(BuildKind(axle="front")), units)
    elif name == "long title":
        build = sample(RANCH, title="W" * 200)
    else:
        build = sample(found[0], **units)
    return build, solve(build)


def bold(page: Page) -> Iterator[Words]:
    return (one for one in words_on(page) if one.bold)


def check_apart(page: Page) -> None:
    """No words lie over words or over the edge of a box."""
    words = [(box_of(item), item.text) for item in words_on(page)]
    for (box, text), (other, second) in itertools.combinations(words, 2):
        assert not clash(box, other), (text, second)
    for box, text in words:
        for edge in boxes_on(page):
            within = edge[0] <= box[0] and box[2] <= edge[2] and edge[1] <= box[1] + 1.0 and box[3] <= edge[3] + 1.5
            assert within or not clash(box, edge), text


def check_within(page: Page, paper: PaperName) -> None:
    """Nothing leaves the margins, and type can be read."""
    frame = frame_of(SIZES[paper])
    for layer in page.layers:
        for item in layer.items:
            left, top, right, bottom = box_of(item)
            assert left >= frame.left - 2.0
            assert top >= frame.top - 2.0
            assert right <= frame.right + 2.0
            assert bottom <= frame.bottom + 2.0
    assert all(words.pt >= SMALLEST_PT for words in words_on(page))
