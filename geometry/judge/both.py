"""Front against rear: how far apart the two shafts of a vehicle turn over the same road."""

from typing import NamedTuple

import numpy as np

from geometry.document.sides import SECOND
from geometry.judge.codes import CAUTION, CLEAR, UNKNOWN, Codes
from geometry.judge.facts import Facts
from geometry.judge.table import Table
from geometry.mechanics.loads import ROLLS_MORE, shaft_turns_per_km, tyre_turns_per_km
from geometry.mechanics.spread import COVERAGE
from geometry.mechanics.vectors import NAN, Floats

DRIVE = f"{SECOND}drive"
"""Whether front and rear are locked together while both drive."""
TURNS = ("vehicle.tyre_turns_per_km", f"{SECOND}wheels.tyre_turns_per_km")
"""Turns of this driveline's tyres, and of the other's."""
RATIOS = ("axle.ratio", f"{SECOND}axle.ratio")


class Apart(NamedTuple):
    """By how much the front shaft turns more than the rear one, per cent; less than nothing: less."""

    percent: Floats
    least: Floats
    most: Floats
    """What it may be at the least and at the most where only loaded radii tell it; else the same."""

    @property
    def sizes(self) -> tuple[Floats, Floats]:
        """The least and the most that it may be either way."""
        one, two = np.abs(self.least), np.abs(self.most)
        across = (self.least < 0.0) & (self.most > 0.0)
        return np.where(across, 0.0, np.minimum(one, two)), np.maximum(one, two)


def apart_of(f: Facts) -> Apart:
    """Front against rear of each row: axle ratio times tyre turns; nan where that is not known."""
    ends = [_turns(f, place) for place in range(2)]
    front, rear = ends if f.kinds.ahead else ends[::-1]
    share = [front[one] / rear[other] for one, other in ((1, 1), (0, 2), (2, 0))]
    return Apart(*(100.0 * (one - 1.0) for one in share))


def _turns(f: Facts, place: int) -> tuple[Floats, Floats, Floats]:
    """Turns of a shaft over a kilometre: the least, the likeliest, the most that gauge and tape leave open."""
    v = f.v
    end = "front" if f.kinds.ahead == (place == 0) else "rear"
    entered, ratio, radius = v[TURNS[place]], v[RATIOS[place]], v[f"vehicle.{end}_tyre_radius_mm"]
    off = COVERAGE / 3.0**0.5 * v["gauge.tape_uncertainty_mm"]
    low, high = ROLLS_MORE
    taped = ((high, off), ((low + high) / 2.0, 0.0 * off), (low, -off))
    by_radius = (tyre_turns_per_km((radius + tape) * (1.0 + more)) for more, tape in taped)
    least, middle, most = (shaft_turns_per_km(ratio, np.where(np.isnan(entered), one, entered)) for one in by_radius)
    return least, middle, most


def both(f: Facts, table: Table) -> None:
    """Whether front and rear may be locked together on a hard road."""
    if not f.kinds.both:
        return
    apart, drive = apart_of(f), f.v.word(DRIVE)
    known = np.isfinite(apart.percent)

    def as_driven(code: Codes) -> Codes:
        if drive == "full_time":
            return np.where(known, CLEAR, UNKNOWN)
        return code if drive == "part_time" else np.where(code == CAUTION, UNKNOWN, code)

    line = NAN if drive == "full_time" else None  # nothing is asked of it then
    value = np.abs(apart.percent)
    table.add("front_against_rear", "axle", value, clear=line, others=apart.sizes, turned=as_driven)
