"""What counts where nothing is entered, and how much is let pass, as the trade says it: each a number by itself.

All of it is common practice without a source, from memory, but where another one is named.
"""

from fractions import Fraction
from math import radians, sin

import pytest

from geometry.judge import bracket_ways, carried, ends, judging, ride_facts
from geometry.judge.limits import LIMITS
from geometry.mechanics import clamp, loads, perch, sag
from geometry.words import again, speeds, sure, templates, vibration
from geometry.words.sentences import shaft

BY_TAPE = [
    (clamp.WASHER_MM, "1/8"), (clamp.BEYOND_MM, "3/8"), (clamp.WITHIN_MM, "1/2"), (clamp.PIN_BEYOND_MM, "1/4"),
    (again.DIAGONALS_MM[0], "1/8"), (again.DIAGONALS_MM[1], "1/4"), (again.SET_MM, "1/16"),
]  # fmt: skip
"""What an inch rule shows."""


@pytest.mark.parametrize(("value", "words"), BY_TAPE)
def test_lengths_are_what_an_inch_rule_shows(value: float, words: str) -> None:
    assert value == pytest.approx(25.4 * float(Fraction(words)), rel=0.01)


AS_THE_TRADE_SAYS = {
    "a tooth of a spline of 24": (judging.TOOTH_OFF_DEG, 360.0 / 24.0),
    "lines within two degrees in plan, a pinion within an inch aside and two up or down, cruising 1 to 6 tenths": (
        [off for _, several in judging.ASSUMED for off in several],
        [-2.0, 2.0, -2.0, 2.0, -25.0, 25.0, -50.0, -25.0, 25.0, 50.0, 0.1, 0.6]),
    "a front shaft within eight degrees in plan": (judging.FRONT_PLAN_DEG, (-8.0, -4.0, 4.0, 8.0)),
    "an output more than an inch aside has its pinion there too": (judging._IN_LINE_MM, 25.0),
    "a quarter turn": (judging.QUARTER_DEG, 360.0 / 4.0),
    "a driver, and half way between the axles": ((sag.DRIVER_KG, sag.DRIVER_PLACE), (80.0, 1.0 / 2.0)),
    "a full tank, three quarters of the way": ((sag.FUEL_KG, sag.TANK_PLACE), (60.0, 3.0 / 4.0)),
    "new springs settle two centimetres": (sag.SETTLING_MM, 20.0),
    "cruising takes three tenths of the peak": (loads.CRUISE_SHARE, 3.0 / 10.0),
    "a rough start is half as much again": (loads.SHOCK_FACTOR, 1.0 + 1.0 / 2.0),
    "no road vehicle's weight lies higher": (loads.TALL_MASS_CENTRE_MM, 900.0),
    "no axle's gears lose more than a fifth": (ride_facts.HYPOID_LOSS, 1.0 - 1.0 / 5.0),
    "a tyre rolls on 2 to 4 per cent more than it stands on": (loads.ROLLS_MORE, (2.0 / 100.0, 4.0 / 100.0)),
    "a joint is rated for 5,000 hours at 100 rpm and 3 degrees": (
        (loads.RATED_HOURS, loads.RATED_RPM, loads.RATED_ANGLE_DEG), (5000.0, 100.0, 3.0)),
    "a weld pulls a seat by a quarter of a degree": (perch.WELD_PULL_DEG, 1.0 / 4.0),
    "an engine rocks by three degrees": (carried.USUAL_ROCK_DEG, 3.0),
    "a caliper tells caps a quarter, spans a half, bolt circles a millimetre apart": (
        (ends._CAP, ends._SPAN, ends._BOLTS), (1.0 / 4.0, 1.0 / 2.0, 1.0)),
    "a line is set, and stays, to half a degree": ((again.SET_DEG, again.MOVED_DEG), (1.0 / 2.0, 1.0 / 2.0)),
    "speedometer 4 per cent, phone half a hertz": ((vibration.OFF_SHARE, vibration.OFF_HZ), (4.0 / 100.0, 1.0 / 2.0)),
    "pulling away ends at 45 km/h": (vibration.SLOW_KMH, 45.0),
    "the ear begins at 20 Hz (any text on hearing), a seat ends at 50": (
        (vibration.LEAST_HUM_HZ, vibration.MOST_SHUDDER_HZ), (20.0, 50.0)),
    "one draw in forty leaves no doubt": (sure._DOUBTFUL, 1.0 / 40.0),
    "a road speed to look up to": (speeds.USUAL_KMH, 130.0),
    "a hole over its bolt, ISO 273, medium fit, M12 to M16": (templates._CLEARANCE_MM, 13.5 - 12.0),
    "a hole's centre two diameters from the edge": (templates._EDGE, 2.0),
    "a statute mile of 63,360 inches, exact": (shaft.KM_PER_MILE, 63_360.0 * 25.4e-6),
}  # fmt: skip


def test_an_upper_eye_is_looked_for_as_far_aside_as_a_shock_may_lean() -> None:
    """At 60° off plumb it lies by the sine of that of its length to one side."""
    assert sin(radians(LIMITS["shock_lean"].hold)) <= bracket_ways._SIDEWAYS < 0.88


@pytest.mark.parametrize(("value", "says"), AS_THE_TRADE_SAYS.values(), ids=AS_THE_TRADE_SAYS)
def test_what_is_taken_is_what_the_trade_says(value: object, says: object) -> None:
    assert value == pytest.approx(says, rel=1e-9)
