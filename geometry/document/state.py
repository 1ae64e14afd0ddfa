"""In which state the vehicle was measured, and in which it is used, as sections of the build document."""

from typing import Any, Literal, Self

from pydantic import Field, model_validator

from geometry.document.quantity import Section, angle, length, quantity


def _load(title: str, help_text: str) -> Any:
    """Declare a load over the empty vehicle on one axle, kg."""
    return quantity(title, "kg", help_text, low=0.0, high=20_000.0)


class State(Section):
    """How the vehicle stood when it was measured; it cannot be recovered later."""

    on: Literal["tyres", "axle_stands", "frame_stands"] | None = Field(
        default=None,
        title="It stood on",
        description="Its tyres; stands under both axles, springs loaded; or stands under its frame, axle hanging. "
        "With the axle hanging, how the joints run at ride height is not judged. Left empty, its tyres.",
    )
    front_load_kg: float | None = _load(
        "Load at the front",
        "When it was measured: scale reading under the front wheels, less that of the empty vehicle. Left empty, none. "
        "Leave out driver and fuel where they are entered below.",
    )
    rear_load_kg: float | None = _load(
        "Load at the rear",
        "When it was measured: scale reading under the rear wheels, less that of the empty vehicle. Left empty, none. "
        "Leave out driver and fuel where they are entered below.",
    )
    taped_load_kg: float | None = _load(
        "Load when the points were taped",
        "On the driven axle, over empty, where the points were taped with another load than the angles. "
        "The angles are then brought to it by the rate, with the rail's slope read both times. Left empty, the same.",
    )
    fuel_share: float | None = quantity(
        "Fuel in the tank",
        "",
        "When it was measured, as a share of a full tank: 0.5 for half. Then it is judged with an empty and a full tank. "
        "Left empty, fuel is not counted.",
        low=0.0,
        high=1.0,
    )
    driver_in: bool | None = Field(
        default=None,
        title="Driver in it",
        description="Whether the driver, or his weight, sat in it when it was measured. Then it is judged with him in. Left empty, he is not counted.",
    )
    springs: Literal["settled", "new"] | None = Field(
        default=None,
        title="Springs were",
        description="Settled, or new and not settled yet: then it is judged new and settled. Left empty, settled; once another state is told, what new springs could turn is unknown.",
    )
    rail_slope_deg: float | None = angle(
        "Rail slope when the angles were read",
        "Gauge on the frame rail, at the same place as always, when the angles were read. Positive when the rail falls toward the rear. "
        "What it differs from the rail's slope on its tyres is taken out of every angle. Left empty, nothing is.",
        most=20.0,
    )


class Use(Section):
    """In which states the vehicle is used: both ends of each."""

    front_settling_mm: float | None = length(
        "Settling of the front springs",
        "How far new front springs let the frame down in their first weeks. Left empty, 0.8 in (20 mm) where they are new or planned anew, else nothing.",
        high=200.0,
        low=0.0,
    )
    rear_settling_mm: float | None = length(
        "Settling of the rear springs",
        "How far new rear springs let the frame down in their first weeks. Left empty, 0.8 in (20 mm) where they are new or planned anew, else nothing.",
        high=200.0,
        low=0.0,
    )
    front_mount_settling_mm: float | None = length(
        "Settling of the engine mounts",
        "How far the rubber of the front mounts lets the engine down as it ages: an old mount's height under load less a new one's. Left empty, nothing.",
        high=50.0,
        low=0.0,
    )
    rear_mount_settling_mm: float | None = length(
        "Settling of the rear mount",
        "How far the rubber of the rear mount lets the gearbox's tail down as it ages. Left empty, nothing.",
        high=50.0,
        low=0.0,
    )
    front_least_kg: float | None = _load(
        "Least load at the front", "The least that it is driven with over empty, at the front axle. Left empty, none."
    )
    front_most_kg: float | None = _load(
        "Most load at the front",
        "The most that it is driven with over empty, at the front axle. Left empty, as it was measured, where no load at all is named.",
    )
    front_sag_mm: float | None = length(
        "Front sag at the most load",
        "Tape from the front hub to the frame over it, empty less with the most load. With it the rate is not needed.",
        high=500.0,
    )
    rear_least_kg: float | None = _load(
        "Least load at the rear", "The least that it is driven with over empty, at the rear axle. Left empty, none."
    )
    rear_most_kg: float | None = _load(
        "Most load at the rear",
        "The most that it is driven with over empty, at the rear axle: cargo, tow ball. Left empty, as it was measured, where no load at all is named.",
    )
    rear_sag_mm: float | None = length(
        "Rear sag at the most load",
        "Tape from the rear hub to the frame over it, empty less with the most load. With it the rate is not needed.",
        high=500.0,
    )
    driver_kg: float | None = quantity(
        "Driver's weight",
        "kg",
        "Counts where it is entered whether he sat in it. Left empty, 80 kg (180 lb) is taken.",
        above=0.0,
        high=500.0,
    )
    driver_x_mm: float | None = length(
        "Driver's place",
        "Middle of his seat, rearward of the front axle. Left empty, halfway along the wheelbase.",
        high=15_000.0,
        low=-3_000.0,
    )
    fuel_kg: float | None = quantity(
        "Fuel in a full tank",
        "kg",
        "Counts where it is entered how full the tank was: a litre weighs about 0.75 kg, diesel 0.84. Left empty, 60 kg (130 lb) is taken.",
        above=0.0,
        high=3_000.0,
    )
    fuel_x_mm: float | None = length(
        "Tank's place",
        "Middle of the tank, rearward of the front axle. Left empty, three quarters along the wheelbase.",
        high=15_000.0,
        low=-3_000.0,
    )

    @model_validator(mode="after")
    def _orderly(self) -> Self:
        for end in ("front", "rear"):
            least, most = getattr(self, f"{end}_least_kg"), getattr(self, f"{end}_most_kg")
            if least is not None and most is not None and most < least:
                raise ValueError(f"{end}_most_kg: must not be less than {end}_least_kg")
        return self
