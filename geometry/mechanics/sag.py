"""How far an axle's springs give under a load, by rows.

Source: the spring's own law, force over rate; Gillespie, *Fundamentals of Vehicle Dynamics* (from memory), for how a
load divides between two axles, which is the lever.
"""

from geometry.mechanics.loads import STANDARD_GRAVITY
from geometry.mechanics.vectors import Floats

SETTLING_MM = 20.0
"""How far new springs let a vehicle down in their first weeks, where nothing is entered: common practice, no source."""
DRIVER_KG, DRIVER_PLACE = 80.0, 0.5
"""A driver, and his place as a share of the wheelbase, where nothing is entered: common practice, no source."""
FUEL_KG, TANK_PLACE = 60.0, 0.75
"""Fuel in a full tank, and the tank's place as a share of the wheelbase, the same."""


def mm_per_kg(rate_n_per_mm: Floats) -> Floats:
    """How far an axle on two springs gives for each kilogram, mm: g/(2 k), k the rate of one at the wheel.

    >>> from geometry.mechanics.vectors import number
    >>> round(300.0 * float(mm_per_kg(number(50.0))), 3)  # 300 kg on two springs of 50 N/mm: 2,941.995 N over 100 N/mm
    29.42
    """
    return STANDARD_GRAVITY / (2.0 * rate_n_per_mm)


def on_axles_kg(load_kg: Floats, share: Floats) -> tuple[Floats, Floats]:
    """What the front and the rear axle carry of a load so far behind the front one, a share of the wheelbase, kg.

    >>> from geometry.mechanics.vectors import number
    >>> [float(part) for part in on_axles_kg(number(80.0), number(0.75))]
    [20.0, 60.0]
    """
    return load_kg * (1.0 - share), load_kg * share
