"""What to tick before and after tacking, in our own words, in the order of the work."""

from typing import Final

CHECKS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
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
"""Each stage with its boxes."""
