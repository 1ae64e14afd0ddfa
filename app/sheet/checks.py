"""What to tick before and after tacking, in our own words, in the order of the work."""

from typing import Final, TypeAlias

Checks: TypeAlias = tuple[tuple[str, tuple[str, ...]], ...]
"""Each stage with its boxes."""
_AT_PERCHES: Final[Checks] = (
    (
        "Before tacking",
        (
            "Level ground, rated stands, wheels chocked",
            "Axle at ride height, load on the springs",
            "Output, shaft and pinion angles read again",
            "Both perches the same measurement",
            "Shaft slides freely; yokes in phase",
        ),
    ),
    (
        "After tacking",
        (
            "Every angle read again and written down",
            "Perches measured again, still equal",
            "Droop to bump: nothing binds or touches",
        ),
    ),
    (
        "After welding, cold",
        (
            "Angles and perches read once more",
            "Axle square: both wheelbases equal",
            "Joints greased, oil levels right as tilted",
        ),
    ),
)
_BRACKETS: Final = {"Both perches": "Brackets both sides", "Perches": "Brackets", "perches": "brackets"}


def checks_of(*, links: bool) -> Checks:
    """What to tick; an axle on links is tacked at its brackets."""
    if not links:
        return _AT_PERCHES
    return tuple((stage, tuple(map(_at_brackets, boxes))) for stage, boxes in _AT_PERCHES)


def _at_brackets(words: str) -> str:
    for perches, brackets in _BRACKETS.items():
        words = words.replace(perches, brackets)
    return words
