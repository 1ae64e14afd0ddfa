"""What every entry may be; a regression test. A range that narrows refuses files that people have, of format 1.

`ranges.txt` holds one line for each entry of each section: what kinds it may be, between which numbers, how many, and
what it is where it is left out. Where a range is meant to widen, write the list anew with
``python -m tests.geometry.test_ranges_regression``, and see that nothing is refused that was not before.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from geometry import Build

LIST = Path(__file__).with_name("ranges.txt")
BOUNDS = ("exclusiveMinimum", "minimum", "maximum", "multipleOf", "minItems", "maxItems", "minLength", "maxLength")
"""What a schema says of how much may be entered."""


def said(schema: dict[str, Any]) -> str:
    """A schema in a few words, what is inside in brackets."""
    if "$ref" in schema:
        return str(schema["$ref"].rpartition("/")[2])
    parts = [str(schema.get("type", ""))] if "anyOf" not in schema else []
    parts += [repr(schema[word]) for word in ("const", "enum") if word in schema]
    parts += [f"{word} {schema[word]!r}" for word in BOUNDS if word in schema]
    for word in ("anyOf", "oneOf", "prefixItems"):
        if word in schema:
            parts.append(f"({'; '.join(map(said, schema[word]))})")
    parts += [f"of ({said(schema[word])})" for word in ("items",) if word in schema]
    if "default" in schema:
        parts.append(f"else {schema['default']!r}")
    return " ".join(parts)


def lines() -> Iterator[str]:
    """Each section's entries, as the document has them."""
    whole = Build.model_json_schema()
    for section, schema in sorted({**whole["$defs"], "Build": whole}.items()):
        for name, entry in schema["properties"].items():
            yield f"{section}.{name} | {said(entry)}"


def test_every_entry_takes_what_it_took() -> None:
    assert list(lines()) == LIST.read_text(encoding="utf-8").splitlines()


if __name__ == "__main__":
    LIST.write_text("\n".join(lines()) + "\n", encoding="utf-8")
