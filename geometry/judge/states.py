"""In which states a vehicle is used: how far each moves its axles up against the frame, from where the plan puts them.

Springs that are new settle; loads, driver and fuel are named at both ends. The first state is always the one in which
the plan is set, "as measured"; where nothing of all this is entered it is the only one.
"""

from itertools import product
from typing import NamedTuple

import numpy as np

from geometry.document.entries import Variants
from geometry.document.sides import SECOND
from geometry.document.state import Use
from geometry.mechanics.sag import (
    DRIVER_KG,
    DRIVER_PLACE,
    FUEL_KG,
    SETTLING_MM,
    TANK_PLACE,
    mm_per_kg,
    on_axles_kg,
)
from geometry.mechanics.vectors import NAN, ZERO, Bools, Floats

ENDS = ("front", "rear")
_OPEN_BETWEEN = 12
"""Places between what is not said of the states at which all is judged."""
MEASURED, SETTLED, LEAST, MOST, BETWEEN = "as measured", "settled", "at the least load", "laden", "in between"


class Moved(NamedTuple):
    """How far the driven axle, and the other one, stand up against the frame from where they are planned to, mm.

    nan where that is not known; one number, or (rows,). Behind them how far front and rear mounts have sunk.
    """

    driven_mm: Floats
    other_mm: Floats
    front_mount_mm: Floats = ZERO
    rear_mount_mm: Floats = ZERO

    @property
    def sunk(self) -> bool:
        """Whether mounts may have sunk at all."""
        return not (self.front_mount_mm is ZERO and self.rear_mount_mm is ZERO)

    def mounts_as(self, other: "Moved") -> bool:
        """Whether mounts have sunk by the very same numbers."""
        return all(one is two for one, two in zip(self[2:], other[2:], strict=True))

    def repeated(self, times: int) -> "Moved":
        """The same so many times, one after another."""
        if times == 1 or self is STILL:
            return self
        return Moved(*(part if part is ZERO else np.tile(part, times) for part in self))


STILL = Moved(ZERO, ZERO)


class State(NamedTuple):
    """One state that a vehicle is used in, by its name."""

    name: str
    moved: Moved


def has_states(v: Variants) -> bool:
    """Whether anything is entered that may move an axle from where it was measured."""
    state = v.build.state
    told = state is not None and (state.springs == "new" or state.driver_in is not None or state.fuel_share is not None)
    return told or _uses(v) or "state.fuel_share" in v.columns


def _uses(v: Variants) -> bool:
    """Whether anything is entered of how it is used."""
    return v.build.use not in {None, Use()} or any(path.startswith("use.") for path in v.columns)


def states_of(v: Variants, *, ahead: bool) -> tuple[State, ...]:
    """The states of a block of variants, as measured first; that one alone where no other is entered.

    A state in which every row stands as in one before it is left out.
    """
    if not has_states(v):
        return (State(MEASURED, STILL),)
    loads = [("", (ZERO, ZERO)), *_loads(v)]
    settling = _settling_mm(v)
    pairs = [("", (ZERO, ZERO)), (SETTLED, settling)]
    made: list[State] = []
    for settled, down in pairs:
        for loaded, further in loads:
            front, rear = (one + two for one, two in zip(down, further, strict=True))
            mounts = _sunk_mm(v) if settled else (ZERO, ZERO)
            moved = Moved(front, rear, *mounts) if ahead else Moved(rear, front, *mounts)
            if not any(_same(moved, state.moved) for state in made):
                made.append(State(_name(settled, loaded), moved))
    return tuple(made)


def _sunk_mm(v: Variants) -> tuple[Floats, Floats]:
    """How far front and rear mounts sink as their rubber settles; nothing where that is not entered."""
    ends = [v[f"use.{end}_mount_settling_mm"] for end in ENDS]
    front, rear = (ZERO if not one.ndim and np.isnan(one) else np.where(np.isnan(one), 0.0, one) for one in ends)
    return front, rear


def _name(settled: str, loaded: str) -> str:
    if settled and loaded:
        return f"settled and {loaded}"
    return settled or loaded or MEASURED


def _same(one: Moved, two: Moved) -> bool:
    return all(bool(((a == b) | (np.isnan(a) & np.isnan(b))).all()) for a, b in zip(one, two, strict=True))


def _settling_mm(v: Variants) -> tuple[Floats, ...]:
    """How far front and rear settle: as entered, or usual where springs are new or planned anew."""
    made = []
    for end in ENDS:
        usual: Floats = ZERO
        if v.word("state.springs") == "new":
            usual = ZERO + SETTLING_MM
        elif lifts_by_springs(v, end):
            usual = np.where(v.given(f"plan.{end}_lift_mm", 0.0) != 0.0, SETTLING_MM, 0.0)
        entered = v[f"use.{end}_settling_mm"]
        made.append(np.where(np.isnan(entered), usual, entered))
    return tuple(made)


def lifts_by_springs(v: Variants, end: str) -> bool:
    """Whether a lift at one end is of springs that settle by the usual amount where no other is entered."""
    return _uses(v) and v.word("state.springs") != "new" and v.word(f"plan.{end}_lift_by", "spring") == "spring"


def settles_by_usual(v: Variants) -> bool:
    """Whether springs settle by the usual amount at either end, as none is entered."""
    ends = zip(ENDS, _settling_mm(v), strict=True)
    return any(v.absent(f"use.{end}_settling_mm") and bool(np.any(down != 0.0)) for end, down in ends)


def _loads(v: Variants) -> list[tuple[str, tuple[Floats, ...]]]:
    """Least and most load, and by how much front and rear then stand lower than measured, mm.

    Once a load is named, the most is wanted of both ends; nan at one where it is not known.
    """
    driver, fuel = v.word("state.driver_in"), v["state.fuel_share"]
    fuelled = np.isfinite(fuel)
    named = [~np.isnan(v[f"use.{end}_{which}_kg"]) for end in ENDS for which in ("least", "most")]
    if driver is None and not np.any(fuelled) and not any(np.any(one) for one in named):
        return []
    loaded: Bools = named[0] | named[1] | named[2] | named[3]
    man = _carried_kg(v, "driver", DRIVER_KG, DRIVER_PLACE)
    tank = _carried_kg(v, "fuel", FUEL_KG, TANK_PLACE)
    lower: list[list[Floats]] = [[], []]
    for end, name in enumerate(ENDS):
        least, most = v[f"use.{name}_least_kg"], v[f"use.{name}_most_kg"]
        was = v.given(f"state.{name}_load_kg", 0.0)
        least, most = np.where(loaded, np.where(np.isnan(least), 0.0, least), was), np.where(loaded, most, was)
        more = ZERO if driver is None or driver else man[end]
        poured = np.where(fuelled, fuel, 0.0) * tank[end]
        full = np.where(fuelled, tank[end], 0.0)
        each = mm_per_kg_of(v, name)
        for place, (kg, carried) in enumerate(((least, more - poured), (most, more + full - poured))):
            added = kg - was + carried
            lower[place].append(np.where(added == 0.0, 0.0, added * each))
    return [(LEAST, tuple(lower[0])), (MOST, tuple(lower[1]))]


class Open(NamedTuple):
    """What a person who tells of states has not said: its entry, and how much lower, or higher, both ends may stand."""

    path: str
    lower_mm: tuple[Floats, Floats]
    higher_mm: tuple[Floats, Floats] = (ZERO, ZERO)


def open_of(v: Variants) -> tuple[Open, ...]:
    """What is left empty, counts as nothing, and may be otherwise; only of rows in which some state is told.

    Springs may be new where nobody says. What it carried when it was measured may be anything up to the most load. Of
    driver and fuel it counts once something of them is entered.
    """
    if not has_states(v):
        return ()
    made, each = [], [mm_per_kg_of(v, end) for end in ENDS]
    if v.word("state.springs") is None:
        begun, settling = _begun(v), _settling_mm(v)
        front, rear = (
            np.where(begun & np.isnan(v[f"use.{end}_settling_mm"]) & (down == 0.0), SETTLING_MM, 0.0)
            for end, down in zip(ENDS, settling, strict=True)
        )
        made.append(Open("state.springs", (front, rear)))
    for place, end in enumerate(ENDS):
        most = np.fmax(v[f"use.{end}_least_kg"], v[f"use.{end}_most_kg"])
        # Where nobody knows how far it gives, the state itself is lost, and is looked at between the stops.
        lacks = np.isfinite(most * each[place]) & np.isnan(v[f"state.{end}_load_kg"])
        higher = [ZERO, ZERO]
        higher[place] = np.where(lacks & (most > 0.0), most * each[place], 0.0)
        made.append(Open(f"state.{end}_load_kg", (ZERO, ZERO), (higher[0], higher[1])))
    for what, path, usual, at in (
        ("driver", "state.driver_in", DRIVER_KG, DRIVER_PLACE), ("fuel", "state.fuel_share", FUEL_KG, TANK_PLACE),
    ):  # fmt: skip
        told = np.isfinite(v[f"use.{what}_kg"]) | np.isfinite(v[f"use.{what}_x_mm"])
        lacks = told & (np.isnan(v[path]) if what == "fuel" else np.asarray(v.word(path) is None))
        weighs = _carried_kg(v, what, usual, at)
        front, rear = (np.where(lacks, kg * give, 0.0) for kg, give in zip(weighs, each, strict=True))
        made.append(Open(path, (front, rear), (front, rear) if what == "fuel" else (ZERO, ZERO)))
    return tuple(one for one in made if any(np.any(part != 0.0) for part in (*one.lower_mm, *one.higher_mm)))


def open_states_of(v: Variants, states: tuple[State, ...], *, ahead: bool) -> tuple[Moved, int, Bools] | None:
    """Where the axles may stand besides for what is not said, (places, rows) each; None where all is said.

    Every state with either end lower by all of it, or higher, so many as are told with it; then places between the
    lowest and the highest of these, as a joint may pass 0° on the way. Behind them the rows that this is about.
    """
    lacking = open_of(v)
    if not lacking:
        return None
    lower, higher = (
        [sum((getattr(one, way)[end] for one in lacking), ZERO) for end in (0, 1)] for way in ("lower_mm", "higher_mm")
    )
    made = []
    for state in states:
        for front, rear in product((lower[0], -higher[0]), (lower[1], -higher[1])):
            moved = (front, rear) if ahead else (rear, front)
            # A state in which the driven axle is lost is looked at between the stops.
            lost = np.isnan(state.moved.driven_mm)
            driven = np.where(lost, 0.0, state.moved.driven_mm + moved[0])
            parts = [driven, state.moved.other_mm + moved[1], *state.moved[2:]]
            made.append([np.broadcast_to(part, v.rows) for part in parts])
    places = np.array(made).transpose(1, 0, 2)
    low, high = (
        np.take_along_axis(places, np.broadcast_to(at, (4, 1, v.rows)), axis=1)
        for at in (np.nan_to_num(places[0]).argmin(axis=0), np.nan_to_num(places[0]).argmax(axis=0))
    )
    between = low + np.linspace(0.0, 1.0, _OPEN_BETWEEN + 2)[1:-1, None] * (high - low)
    lacks: Bools = np.zeros(v.rows, np.bool_)
    for part in (*lower, *higher):
        lacks = lacks | (part != 0.0)
    return Moved(*np.concatenate([places, between], axis=1)), len(made), lacks


def _begun(v: Variants) -> Bools:
    """Rows in which anything is entered that makes another state."""
    begun: Bools = np.asarray(v.word("state.driver_in") is not None) | np.isfinite(v["state.fuel_share"])
    for name in Use.model_fields:
        begun = begun | np.isfinite(v[f"use.{name}"])
    return begun


def _carried_kg(v: Variants, what: str, usual_kg: float, usual_place: float) -> tuple[Floats, Floats]:
    """What front and rear carry of driver or fuel, kg."""
    share = v[f"use.{what}_x_mm"] / v["vehicle.wheelbase_mm"]
    return on_axles_kg(
        v.given(f"use.{what}_kg", usual_kg), np.where(np.isnan(v[f"use.{what}_x_mm"]), usual_place, share)
    )


def mm_per_kg_of(v: Variants, end: str) -> Floats:
    """How far an end gives for each kilogram, mm: by the tape where that was read, else by the springs' rate."""
    driven = (v.word("axle.end") == "front") == (end == "front")
    rate = v["suspension.rate_n_per_mm" if driven else "vehicle.other_axle_rate_n_per_mm"]
    if not driven and v.word("drivelines"):
        rate = np.where(np.isnan(rate), v[f"{SECOND}suspension.rate_n_per_mm"], rate)
    taped = v[f"use.{end}_sag_mm"] / v[f"use.{end}_most_kg"]
    by_rate = mm_per_kg(rate)
    return np.where(np.isfinite(taped), taped, by_rate)


def read_apart_mm(v: Variants, *, ahead: bool) -> Floats:
    """How much lower the driven axle's end stood when the angles were read than when the points were taped, mm."""
    if v.absent("state.taped_load_kg"):
        return ZERO
    end, taped = ENDS[not ahead], v["state.taped_load_kg"]
    apart = v.given(f"state.{end}_load_kg", 0.0) - taped
    return np.where(np.isnan(taped) | (apart == 0.0), 0.0, apart * mm_per_kg_of(v, end))


def hangs(v: Variants) -> bool:
    """Whether the axle hung when the vehicle was measured, so that nothing tells how it stands at ride height."""
    return bool(v.word("state.on") == "frame_stands")


def level_deg(v: Variants, *, ahead: bool) -> Floats:
    """What to take into a gauge's readings so that they are as on its tyres, degrees: the rail's slope there less here.

    nan where the rail's slope was not read both times though it must be: on stands, or with two loads.
    """
    if v.build.state is None and not any(path.startswith("state.") for path in v.columns):
        return ZERO
    rail, on_tyres = v["state.rail_slope_deg"], v["vehicle.frame_slope_deg"]
    must: Bools = np.asarray(v.word("state.on") in {"axle_stands", "frame_stands"})
    must = must | (read_apart_mm(v, ahead=ahead) != 0.0)
    return np.where(np.isnan(rail), np.where(must, NAN, 0.0), on_tyres - rail)
