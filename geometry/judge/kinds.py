"""What is one for all variants: the words, yes and no, and counts of the document, and how points are read from it."""

from typing import NamedTuple

from geometry.document.entries import Variants
from geometry.mechanics.vectors import Floats, Vector

SIDES = tuple[Floats, Floats]
"""A point in side view, (x, z), mm."""


class Kinds(NamedTuple):
    """What is one for all variants: words, yes and no, and counts."""

    ahead: bool
    types: tuple[str, ...]
    names: tuple[str, ...]
    suspension: str | None
    over: bool
    hangs: bool
    rigid: bool
    by: str
    loose_perches: bool
    loose_mounts: bool
    both: bool
    """Whether the vehicle has another driveline beside this one."""

    @property
    def pieces(self) -> int:
        """How many sections the shaft has."""
        return len(self.names) - 1

    @property
    def even(self) -> tuple[bool, ...]:
        """Which joints, front to rear, pass the motion on evenly."""
        return tuple(kind != "cardan" for kind in self.types)

    @property
    def pinion_joint(self) -> int:
        """Which joint, front to rear, sits at the pinion."""
        return 0 if self.ahead else self.pieces

    @property
    def beside_axle(self) -> int:
        """Which section, front to rear, is jointed to the pinion, and so slips."""
        return 0 if self.ahead else self.pieces - 1

    @property
    def tubes(self) -> tuple[tuple[str, str], ...]:
        """Name and entry of each section's tube."""
        if self.pieces == 1:
            return (("whole", "shaft.tube"),)
        return (("front", "shaft.front_tube"), ("rear", "shaft.rear_tube"))

    @property
    def phases(self) -> tuple[str, ...]:
        """Entries of the sections' phases, front to rear."""
        if self.pieces == 1:
            return ("shaft.phase_deg",)
        return ("shaft.front_phase_deg", "shaft.rear_phase_deg")


def kinds_of(v: Variants) -> Kinds:
    """Words of the variants, with what the document takes where they are not there."""
    names = ("front", "centre", "rear") if v.word("shaft.kind") == "two_piece" else ("front", "rear")
    ahead = v.word("axle.end") == "front"
    return Kinds(
        ahead=ahead,
        types=tuple(v.word(f"shaft.{name}_joint.type", "cardan") for name in names),
        names=names,
        suspension=v.word("suspension.kind"),
        over=v.word("suspension.seat", "over") == "over",
        hangs=v.word("suspension.shackle_hangs") is not False,
        rigid=v.word("suspension.rigid") is True,
        by=v.word("plan.front_lift_by" if ahead else "plan.rear_lift_by", "spring"),
        loose_perches=v.word("plan.perches") == "loose",
        loose_mounts=v.word("plan.mounts") == "loose",
        both=bool(v.word("drivelines", 0)),
    )


def point(v: Variants, path: str) -> Vector:
    """A point in space."""
    return Vector(v[f"{path}.0"], v[f"{path}.1"], v[f"{path}.2"])


def side(v: Variants, path: str) -> SIDES:
    """A point in side view."""
    return v[f"{path}.0"], v[f"{path}.1"]
