"""How one entry of the build document is declared: its title, its unit, and where the gauge or the tape goes."""

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

REACH_MM = 20_000.0
"""No measuring point of a road vehicle lies farther than this from the front axle, in any direction."""

LEAST = 0.001
"""Where an entry has to be more than nothing, in its own unit: nothing is measured finer."""
Coordinate = Annotated[float, Field(ge=-REACH_MM, le=REACH_MM)]
SidePoint = tuple[Coordinate, Coordinate]
"""A point in side view, (x, z), or in top view, (x, y), mm."""
SpacePoint = tuple[Coordinate, Coordinate, Coordinate]
"""A point in space, (x, y, z), mm."""


def if_empty(counts_as: int) -> str:
    """Help for an entry that counts as nought, or as one, where it is left empty.

    >>> if_empty(0)[:27]
    'Enter 0 where you have look'
    """
    return (
        f"Enter {counts_as} where you have looked and it is so; left empty it counts as {counts_as}, "
        "and findings that this could turn say unknown."
    )


class Section(BaseModel):
    """One part of the build document: frozen, and deaf to unknown keys, NaN, infinities and text for numbers."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


def quantity(
    title: str,
    unit: str,
    help_text: str,
    *,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    step: float | None = None,
) -> Any:
    """Declare an optional entry: what it is called, its unit, where to measure it, and the range that is possible.

    `low` and `high` are allowed themselves, `above` is not; more than nought means `LEAST` or more; only whole multiples
    of `step` are. The default is always None: not measured yet.
    """
    if above == 0.0:
        above, low = None, LEAST
    return Field(
        default=None, title=title, description=help_text, ge=low, le=high, gt=above, multiple_of=step,
        json_schema_extra={"unit": unit},
    )  # fmt: skip


def length(title: str, help_text: str, *, high: float = REACH_MM, low: float | None = None) -> Any:
    """Declare a length in mm that must be more than nothing, or at least `low` where that is given."""
    return quantity(title, "mm", help_text, low=low, above=0.0 if low is None else None, high=high)


def count(title: str, help_text: str, *, low: float, high: float) -> Any:
    """Declare a whole number of things."""
    return quantity(title, "count", help_text, low=low, high=high, step=1.0)


def angle(title: str, help_text: str, *, most: float = 60.0) -> Any:
    """Declare an angle in degrees, at most `most` either way."""
    return quantity(title, "deg", help_text, low=-most, high=most)


def point(title: str, help_text: str) -> Any:
    """Declare a measuring point in mm: x rearward from the front axle, y to the right, z up from the floor."""
    return quantity(title, "mm", help_text)
