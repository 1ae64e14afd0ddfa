"""Sizes of U-bolts and centre pins, from what they hold together.

How much of a thread a nut, a washer and the reserve take is common practice, no source.
"""

from geometry.mechanics.vectors import Floats

WASHER_MM = 3.2
"""A hardened washer under each nut: an eighth of an inch."""
BEYOND_MM = 9.5
"""Thread that is to stand out of a nut in the end: three eighths of an inch."""
WITHIN_MM = 12.7
"""Thread that is to begin so far before the plate, so that no nut runs out of it as the leaves settle: half an inch."""
PIN_BEYOND_MM = 6.35
"""The same beyond the nut of a centre pin: a quarter of an inch."""


def stack_mm(tube: Floats, perch: Floats, wedge: Floats, block: Floats, pack: Floats, plate: Floats) -> Floats:
    """What a U-bolt reaches round, from the inside of its bend to its washers, mm: the sum of all.

    >>> from geometry.mechanics.vectors import number
    >>> float(stack_mm(*map(number, (76.0, 20.0, 0.0, 0.0, 50.0, 10.0))))
    156.0
    """
    stack: Floats = tube + perch + wedge + block + pack + plate
    return stack


def leg_mm(stack: Floats, rod: Floats) -> Floats:
    """Least leg of a U-bolt, inside of the bend to the end: stack, washer, a nut as high as the rod is thick, reserve.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(leg_mm(number(156.0), number(14.0))), 1)  # 156 + 3.2 + 14 + 9.5
    182.7
    """
    leg: Floats = stack + WASHER_MM + rod + BEYOND_MM
    return leg


def thread_mm(rod: Floats) -> Floats:
    """Least thread on each leg: what washer, nut and reserve take, and half an inch into the plate.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(thread_mm(number(14.0))), 1)
    39.4
    """
    thread: Floats = WITHIN_MM + WASHER_MM + rod + BEYOND_MM
    return thread


def beyond_nut_mm(leg: Floats, stack: Floats, rod: Floats) -> Floats:
    """Thread that stands out of the nut of a leg, mm; below nought so much of the nut is empty.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(beyond_nut_mm(number(180.0), number(156.0), number(14.0))), 1)
    6.8
    """
    beyond: Floats = leg - stack - WASHER_MM - rod
    return beyond


def pin_length_mm(pack: Floats, wedge: Floats, pin: Floats) -> Floats:
    """Least centre pin under its head: the leaves, a wedge bolted to them, a nut as high as the pin is thick, reserve.

    >>> from geometry.mechanics.vectors import number
    >>> float(pin_length_mm(*map(number, (50.0, 0.0, 10.0))))
    66.35
    """
    long: Floats = pack + wedge + pin + PIN_BEYOND_MM
    return long


def inner_width_mm(tube: Floats, spring: Floats, *, is_round: bool) -> Floats:
    """Width between the legs of a U-bolt: round about the tube the tube's, square over the spring the spring's.

    The tube runs across the vehicle and the spring along it. Round about the tube, one leg stands before the tube and
    one behind it, and the spring lies between two U-bolts. Square over the spring, the legs stand on its two sides, and
    the tube lies between two U-bolts. Either way the four legs stand in the same four holes of the plate.

    >>> from geometry.mechanics.vectors import number
    >>> [float(inner_width_mm(number(76.0), number(64.0), is_round=one)) for one in (True, False)]
    [76.0, 64.0]
    """
    return tube if is_round else spring
