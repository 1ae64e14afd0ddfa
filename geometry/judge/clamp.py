"""What the U-bolts clamp, and how long they must be.

Asked only where a person has begun to measure it.
"""

from typing import NamedTuple

import numpy as np

from geometry.judge.begun import has_section
from geometry.judge.facts import Facts
from geometry.judge.limits import LIMITS
from geometry.judge.table import Table
from geometry.mechanics import clamp as sizes
from geometry.mechanics.vectors import NAN, ZERO, Floats

TUBE, WIDTH, LEG, ROD = "axle.tube_diameter_mm", "clamp.spring_width_mm", "clamp.leg_mm", "clamp.rod_mm"
BLOCK, WEDGE = "clamp.block_mm", "clamp.wedge_mm"
STACK = (TUBE, "clamp.perch_height_mm", "clamp.pack_height_mm", "clamp.plate_mm")
NEEDS: dict[str, tuple[str, ...]] = {
    "ubolt_reserve": (LEG, ROD, *STACK, BLOCK, WEDGE),
}
"""What each finding is judged by."""


class Clamped(NamedTuple):
    """What lies in the clamp after the plan, (rows,) each, mm; nan where it is not known."""

    block_mm: Floats
    wedge_mm: Floats
    stack_mm: Floats
    bare_mm: Floats
    """The stack with no more than is known of a wedge, which only makes it higher."""


def is_round(f: Facts) -> bool:
    """Whether the U-bolts are bent round the tube."""
    return bool(f.v.word("clamp.bend") != "square")


def clamped(f: Facts) -> Clamped:
    """Block, wedge, and all that a U-bolt reaches round; no block is less than nought, no planned wedge nought."""
    v, kinds = f.v, f.kinds
    more = ZERO
    if kinds.by == "block" and kinds.suspension != "links":
        more = f.lift_mm if kinds.over else -f.lift_mm
    block, wedge = v[BLOCK] + more, v[WEDGE]
    block = np.where(block < 0.0, NAN, block)
    wedge = np.where((wedge == 0.0) & (f.wedge_deg != 0.0), NAN, wedge)
    tube, perch, pack, plate = (v[path] for path in STACK)
    stack, bare = (sizes.stack_mm(tube, perch, one, block, pack, plate) for one in (wedge, np.fmax(wedge, 0.0)))
    return Clamped(block, wedge, stack, bare)


def clamp(f: Facts, table: Table) -> None:
    """U-bolts round spring and tube."""
    v = f.v
    if has_section(v, "clamp") and not v.absent(LEG):
        held = clamped(f)
        beyond, at_most = (sizes.beyond_nut_mm(v[LEG], stack, v[ROD]) for stack in (held.stack_mm, held.bare_mm))
        # Legs that are too short without a wedge are so with it, however thick it will be.
        short = np.isnan(beyond) & (at_most < LIMITS["ubolt_reserve"].hold)
        beyond = np.where(short, at_most, beyond)
        table.add("ubolt_reserve", "perches", beyond, asked=np.isfinite(v[LEG]))
