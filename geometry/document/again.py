"""What is read again once brackets are tacked, once they are welded, and after the drive: one dated set each."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from geometry.document.quantity import Section, angle, length, quantity
from geometry.document.text import cleaned_line

_LIKE_FIRST = "Read as the first time, with the vehicle in the same state."


def _yes(title: str, help_text: str) -> bool | None:
    """Declare something that is looked at and found right or not."""
    return Field(default=None, title=title, description=f"{help_text} Left empty, nobody has looked.")


class ReadAgain(Section):
    """One set of readings, taken at one time after brackets were tacked."""

    stage: Literal["tacked", "welded", "driven"] = Field(
        default="tacked", title="Read once", description="Tacked, with the weight on again; welded and cold; or driven."
    )
    day: Annotated[str, Field(max_length=40), BeforeValidator(cleaned_line)] = Field(
        default="", title="Day", description="When it was read, as you write a day."
    )
    odometer_km: float | None = quantity(
        "Odometer", "km", "What it shows when this is read.", low=0.0, high=3_000_000.0
    )
    rail_slope_deg: float | None = angle(
        "Rail slope, read again",
        "Gauge on the frame rail, at the same place as always. Positive when the rail falls toward the rear. "
        "What it differs from the rail's slope after the lift is taken out of every angle. Left empty, nothing is.",
        most=20.0,
    )
    output_slope_deg: float | None = angle("Output slope, read again", _LIKE_FIRST)
    shaft_slope_deg: float | None = angle("Shaft slope, read again", _LIKE_FIRST)
    pinion_slope_deg: float | None = angle("Pinion slope, read again", _LIKE_FIRST)
    seat_left_deg: float | None = angle("Left seat slope, read again", _LIKE_FIRST)
    seat_right_deg: float | None = angle("Right seat slope, read again", _LIKE_FIRST)
    flange_to_perch_left_mm: float | None = length("Left flange to perch, read again", _LIKE_FIRST, high=2_000.0)
    flange_to_perch_right_mm: float | None = length("Right flange to perch, read again", _LIKE_FIRST, high=2_000.0)
    wheelbase_left_mm: float | None = length("Wheelbase, left, read again", _LIKE_FIRST, high=15_000.0)
    wheelbase_right_mm: float | None = length("Wheelbase, right, read again", _LIKE_FIRST, high=15_000.0)
    diagonal_left_mm: float | None = length("Diagonal from the left hole, read again", _LIKE_FIRST, high=15_000.0)
    diagonal_right_mm: float | None = length("Diagonal from the right hole, read again", _LIKE_FIRST, high=15_000.0)
    ubolts_tight: bool | None = _yes("U-bolts to torque", "Whether the nuts, tried again with the weight on, held.")
    slip_in_stroke: bool | None = _yes(
        "Slip within its stroke", "Whether the mark in the grease shows that the spline came neither home nor out."
    )
    oil_right: bool | None = _yes(
        "Oil level right", "Whether the oil stands right in the axle as its pinion points now."
    )
    breather_dry: bool | None = _yes("Breather dry", "Whether the axle's breather is free and threw no oil.")
