"""What the clamp of the springs takes, as it is bought: U-bolts and centre pins, in sizes that are sold."""

from math import ceil

from geometry.judge.begun import has_section
from geometry.judge.clamp import BLOCK, ROD, STACK, TUBE, WEDGE, WIDTH, clamped, is_round
from geometry.mechanics import clamp as sizes
from geometry.words.solution import Bought
from geometry.words.told import Told
from geometry.words.wording import MM_PER_INCH, length

_PACK, _PIN = "clamp.pack_height_mm", "clamp.pin_mm"
_ON_IT = 1e-9
"""What lies so little over a size that is sold is that size."""


def as_sold_mm(least_mm: float, *, inch: bool) -> float:
    """The next length that is sold: quarters of an inch, or 5 mm (common practice).

    >>> round(as_sold_mm(182.7, inch=True), 3), as_sold_mm(182.7, inch=False), as_sold_mm(185.0, inch=False)
    (184.15, 185.0, 185.0)
    """
    step = MM_PER_INCH / 4.0 if inch else 5.0
    return ceil(least_mm / step - _ON_IT) * step


def buying_of(told: Told) -> tuple[Bought, ...]:
    """U-bolts and centre pins, two springs; nothing where nothing of the clamp is entered."""
    facts, v = told.facts, told.facts.v
    if not has_section(v, "clamp"):
        return ()
    held, inch, round_ = clamped(facts), told.display.length == "inch", is_round(facts)
    rod, pin = v[ROD], v[_PIN]
    width = told.number(sizes.inner_width_mm(v[TUBE], v[WIDTH], is_round=round_))
    bolts = [("diameter", told.number(rod)), ("inside width", width)]
    leg = told.number(sizes.leg_mm(held.stack_mm, rod))
    thread = told.number(sizes.thread_mm(rod))
    bolts += [("leg, inside of the bend to its end", None if leg is None else as_sold_mm(leg, inch=inch))]
    bolts += [("thread on each leg, at least", thread)]
    under_head = told.number(sizes.pin_length_mm(v[_PACK], held.wedge_mm, pin))
    pins = [("diameter", told.number(pin)),
            ("length under the head", None if under_head is None else as_sold_mm(under_head, inch=inch))]  # fmt: skip
    return (
        Bought("U-bolt, round" if round_ else "U-bolt, square", 4, _known(bolts), _bolt_says(told),
               _lacking(told, (ROD, *STACK, BLOCK, WEDGE, *(() if round_ else (WIDTH,))))),
        Bought("Centre pin", 2, _known(pins), _pin_says(told), _lacking(told, (_PIN, _PACK, WEDGE))),
    )  # fmt: skip


def _known(told: list[tuple[str, float | None]]) -> tuple[tuple[str, float], ...]:
    return tuple((name, value) for name, value in told if value is not None)


def _lacking(told: Told, paths: tuple[str, ...]) -> tuple[str, ...]:
    """Entries that are not there, or contradict the plan."""
    held = clamped(told.facts)
    planned = {BLOCK: held.block_mm, WEDGE: held.wedge_mm}
    return tuple(path for path in paths if told.number(planned.get(path, told.facts.v[path])) is None)


def _bolt_says(told: Told) -> str:
    washer, beyond = (length(one, told.display, 1) for one in (sizes.WASHER_MM, sizes.BEYOND_MM))
    return (
        f"New ones, with deep nuts and hardened washers: a nut as high as the rod is thick, a washer of {washer} and "
        f"{beyond} of thread beyond are in the leg (common practice). Torque them crosswise with the weight on its "
        "wheels, by the figures of their maker; again after the first drive, and after 500 miles (800 km)."
    )


def _pin_says(told: Told) -> str:
    beyond = length(sizes.PIN_BEYOND_MM, told.display, 1)
    return (
        f"A nut as high as the pin is thick and {beyond} of thread beyond are in it (common practice). Its head must "
        "fill the hole of perch, block or wedge: caliper both."
    )
