"""A plan that is kept beside the build: a name, and the entries in which it differs, as a section of the document."""

from collections.abc import Iterator
from typing import Any

from pydantic import Field, ValidationError, field_validator

from geometry.document.brackets import Name
from geometry.document.quantity import Section


class Variant(Section):
    """Another plan for the same vehicle: the build with some of its entries replaced."""

    name: Name = Field(title="Name", description="What you call it; no two that are kept have the same.")
    changes: dict[str, Any] = Field(
        default={},
        title="Changes",
        description="The dotted path of each entry that is replaced, as in axle.ratio, with its value; null where it is left empty. "
        "A path may not lead into variants.",
    )

    def __hash__(self) -> int:
        return hash((self.name, *self.changes))

    @field_validator("changes")
    @classmethod
    def _as_entries_are(cls, changes: dict[str, Any]) -> dict[str, Any]:
        """Lists come from files; entries are tuples."""
        return {path: tupled(value) for path, value in changes.items()}


class VariantRefused(ValueError):  # noqa: N818  (what is refused is a kept plan)
    """No build can be as a kept plan has it.

    `number` is the plan's place among those that are kept, `path` the entry in its changes. `why` is what the build with
    them is refused for, or None where the str of this says all.
    """

    def __init__(self, number: int, path: str, says: str, why: ValidationError | None = None) -> None:
        super().__init__(f"variants.{number}.changes.{path}: {says}")
        self.number, self.path, self.why = number, path, why


def tupled(value: Any) -> Any:
    """A value as the document holds it: tuples for lists, at any depth.

    >>> tupled({"outline_mm": [[0, 1], [2, 3]]})
    {'outline_mm': ((0, 1), (2, 3))}
    """
    if isinstance(value, dict):
        return {key: tupled(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return tuple(tupled(one) for one in value)
    return plain(value)


def plain(value: Any) -> Any:
    """A value of the document as it stands in changes: a section as what is entered of it, a list likewise.

    >>> plain((Section(), 3.5))
    ({}, 3.5)
    """
    if isinstance(value, Section):
        return value.model_dump()
    return tuple(plain(one) for one in value) if isinstance(value, tuple) else value


def differences(here: Any, there: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Single entries in which two builds, or sections at a path, differ, each with its value there.

    What is entered in one alone, of another kind, or a list of another length is told whole.
    """
    if here == there:
        return
    alike = type(here) is type(there)
    if alike and isinstance(here, Section):
        for name in type(here).model_fields:
            yield from differences(getattr(here, name), getattr(there, name), f"{path}.{name}" if path else name)
    elif alike and isinstance(here, tuple) and len(here) == len(there) and isinstance(here[0], Section):
        for number, (one, other) in enumerate(zip(here, there, strict=True)):
            yield from differences(one, other, f"{path}.{number}")
    else:
        yield path, plain(there)
