"""What is planned, in one line under the title."""

from __future__ import annotations

from collections.abc import Iterator

from app.setpoints import both_lengths, moved_words
from app.units import leaning, show_planned
from geometry.document import Build, is_front_axle, value_at
from geometry.document.brackets import Plan
from geometry.document.vehicle import Display
from geometry.words.wording import mount_words


def planned_words(build: Build) -> str:
    """What is to be changed and for what height the angles are, e.g. Planned: rear up 3.00 in (76.2 mm) by block. …"""
    parts = [] if build.plan is None else list(_parts(build, build.plan))
    lifted = any(value_at(build, f"plan.{end}_lift_mm") for end in ("rear", "front"))
    height = "Angles are for that height." if lifted else "Angles are for ride height, level on the tyres."
    return f"Planned: {', '.join(parts)}. {height}" if parts else f"Nothing planned: as it stands. {height}"


def _set(by_mm: float, display: Display) -> str:
    """A length as it is set, and in the other unit."""
    return f"{show_planned(abs(by_mm), display)} ({both_lengths(abs(by_mm), display)[1]})"


def _parts(build: Build, plan: Plan) -> Iterator[str]:
    display, links = build.display, value_at(build, "suspension.kind") == "links"
    driven = "front" if is_front_axle(build) else "rear"
    lifts = (("rear", plan.rear_lift_mm, plan.rear_lift_by), ("front", plan.front_lift_mm, plan.front_lift_by))
    for end, lift_mm, by in lifts:
        if lift_mm:
            how = "" if links and end == driven else f" by {by}"
            yield f"{end} {'up' if lift_mm > 0.0 else 'down'} {_set(lift_mm, display)}{how}"
    if plan.perches == "welded":
        if plan.axle_shim_deg:
            way = "raising" if plan.axle_shim_deg > 0.0 else "lowering"
            yield f"{abs(plan.axle_shim_deg):g}° {'turn of the axle' if links else 'wedges'} {way} the nose"
    elif plan.pinion_slope_deg is None:
        yield "perches loose"
    else:
        up, down = ("nose down", "nose up") if is_front_axle(build) else ("nose up", "nose down")
        yield f"pinion welded at {leaning(plan.pinion_slope_deg, down=up, up=down)}"
    if plan.mounts == "fixed":
        if plan.mount_shim_mm:
            shim, other = moved_words(plan.mount_shim_mm, display), both_lengths(abs(plan.mount_shim_mm), display)[1]
            yield mount_words(plan.mount_shim_mm, f"{shim} ({other})", done=True)
    else:
        yield from _loose_mounts(build, plan)
    if plan.lateral_link_longer_mm:
        way = "longer" if plan.lateral_link_longer_mm > 0.0 else "shorter"
        yield f"lateral link {_set(plan.lateral_link_longer_mm, display)} {way}"
    yield from _plates(build, plan)


def _plates(build: Build, plan: Plan) -> Iterator[str]:
    for place, thick_mm in (("gearbox", plan.output_adapter_mm), ("pinion", plan.pinion_adapter_mm)):
        if thick_mm:
            yield f"plate of {_set(thick_mm, build.display)} between the flanges at the {place}"


def _loose_mounts(build: Build, plan: Plan) -> Iterator[str]:
    if plan.powertrain_slope_deg is not None:
        yield f"output set to {leaning(plan.powertrain_slope_deg, down='tail down', up='tail up')}"
    shift = plan.powertrain_shift_mm
    if shift is not None:
        for moved_mm, on, back in ((shift[0], "back", "forward"), (shift[1], "up", "down")):
            if moved_mm:
                yield f"engine {on if moved_mm > 0.0 else back} {_set(moved_mm, build.display)}"
    if plan.powertrain_slope_deg is None and shift is None:
        yield "mounts loose"
