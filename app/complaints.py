"""What is wrong with an entry, in one sentence that a person can act on: for files and for fields alike.

The words are taken from the document's own JSON Schema (titles, ranges, units), so what a complaint says and what
`python -m app schema` prints cannot drift apart.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, lru_cache
from typing import Any, Final, NamedTuple

from pydantic import ValidationError

from app.units import DisplayChoice, as_kind, show
from geometry.document import Build
from geometry.document.quantity import LEAST
from geometry.document.variant import VariantRefused
from geometry.words.wording import capital

Schema = Mapping[str, Any]
Error = Mapping[str, Any]
_LONGEST_VALUE: Final = 40  # characters of a wrong value that are shown; a line must stay a line
_DEEPEST: Final = 8  # steps of a path that are shown
_SIGNS: Final = {"deg": "°"}


class Complaint(NamedTuple):
    """One entry that cannot stay as it is.

    `path` is dotted as in `edited` and `value_at`, with list items by number; it is empty for the document as a whole.
    `title` is what the screen calls the entry, `what` the sentence without its name.
    """

    path: str
    title: str
    what: str

    @property
    def sentence(self) -> str:
        """The whole sentence, with path and title before it."""
        if not self.path:
            return capital(self.what)
        path = short_path(self.path)
        return one_line(f"{path} ({self.title}): {self.what}" if self.title else f"{path}: {self.what}")


class _Place(NamedTuple):
    """Where in the document an error lies: steps without the tags of alternatives, and the schema found there."""

    steps: tuple[str | int, ...]
    title: str
    schema: Schema
    unit: str
    may_be_left_out: bool

    @property
    def path(self) -> str:
        return ".".join(str(step) for step in self.steps)


def first_complaint(error: ValidationError, display: DisplayChoice | None = None) -> Complaint:
    """Return the complaint to show first of all that pydantic found wrong with a `Build`.

    With `display`, ranges and values are worded in the units that the person types; without it in the document's own.

    >>> try:
    ...     Build.model_validate({"axle": {"ratio": -3.0}})
    ... except ValidationError as error:
    ...     print(first_complaint(error).sentence)
    axle.ratio (Axle ratio): must be more than 0.5 and at most 30; this is -3.0. Correct it or leave it out.
    """
    first = _most_telling(error.errors(include_url=False))
    place = _place(first["loc"])
    kind: str = first["type"]
    if kind == "value_error":
        return _from_validator(first, place, display)
    if kind == "missing" and isinstance(first["loc"][-1], int):
        place = _place(first["loc"][:-1])  # a point with too few numbers: the point is what is wrong
        return Complaint(place.path, place.title, f"must be {_list_words(place)}. {_way_out(place)}")
    if kind in {"union_tag_invalid", "union_tag_not_found"}:
        tag = str(first["ctx"]["discriminator"]).strip("'")
        place = _place((*first["loc"], tag))
    words = _WORDS.get(kind)
    if words is None:
        return Complaint(place.path, place.title, f"{str(first['msg']).removesuffix('.')}. {_way_out(place)}")
    return Complaint(place.path, place.title, words(first, place, display))


def one_line(text: str) -> str:
    r"""Text with everything unprintable spelt out, so that no name or value can break the line or steer a terminal.

    >>> one_line("a\nb")
    'a\\nb'
    """
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else repr(letter)[1:-1] for letter in text)


def shortened(text: str) -> str:
    """Text from a file cut to what a line can show, with "…" where there is more."""
    return text if len(text) <= _LONGEST_VALUE else f"{text[: _LONGEST_VALUE - 1]}…"


def short_path(path: str) -> str:
    """A dotted path with each step cut to what a line can show, and no more steps than any entry has."""
    return ".".join(shortened(step) for step in path.split(".")[:_DEEPEST])


def nearest(word: str, known: Sequence[str]) -> str | None:
    """Return the known word that a mistyped one was probably meant to be, or None.

    >>> nearest("pinion_slop_deg", ["pinion_slope_deg", "pinion_plan_deg"])
    'pinion_slope_deg'
    """
    import difflib

    found = difflib.get_close_matches(word[:200], known, n=1, cutoff=0.6)
    return found[0] if found else None


@lru_cache(maxsize=512)
def title_of(path: str) -> str:
    """Return what the screen calls the entry at a dotted path; an alternative's entry is found by its name alone.

    >>> title_of("powertrain.slope_deg")
    'Output slope'
    """
    *_, (step, node) = _along(path)
    return str(node.get("title") or capital(step.replace("_", " ")))


def unit_of(path: str) -> str:
    """Return the unit that a number at a dotted path is kept in, that of the whole point for a part of one.

    >>> unit_of("axle.centre_mm.2"), unit_of("powertrain.slope_deg"), unit_of("axle.ratio")
    ('mm', 'deg', '')
    """
    return next((str(node["unit"]) for _, node in reversed(list(_along(path))) if "unit" in node), "")


def _along(path: str) -> Iterator[tuple[str, Schema]]:
    """The steps of a path, each with what the schema says there."""
    node: Schema = document_schema()
    for step in path.split("."):
        node = _plain(node)
        tagged = node.get("discriminator", {}).get("mapping", {})
        options = [_at(reference) for reference in tagged.values()] or [node]
        node = _item(node, int(step)) if step.isdecimal() else _property(options, step)
        yield step, node


@cache
def document_schema() -> dict[str, Any]:
    """Return the JSON Schema of the build document; do not change what it holds."""
    return Build.model_json_schema()


def _most_telling(errors: Sequence[Error]) -> Error:
    """First error, but a mistyped name goes before the complaint that the right name is missing."""
    first = errors[0]
    if first["type"] in {"missing", "union_tag_not_found"}:
        section = first["loc"] if first["type"] == "union_tag_not_found" else first["loc"][:-1]
        for other in errors:
            if other["type"] == "extra_forbidden" and other["loc"][:-1] == section:
                return other
    return first


def _place(loc: Sequence[str | int]) -> _Place:
    """Follow an error's location through the schema."""
    node: Schema = document_schema()
    steps: list[str | int] = []
    title, unit, free = "", "", False
    for step in loc:
        node = _plain(node)
        if "oneOf" in node:
            mapping = node["discriminator"]["mapping"]
            if step in mapping:  # the location names the alternative that was chosen: a step that no path has
                node = _at(mapping[step])
                continue
            node = _shared_tag(node)
        steps.append(step)
        if isinstance(step, int):
            inner = _item(node, step)
            title += f" {step + 1}" if "properties" in _plain(inner) else f", {_item_words(node, inner, step, steps)}"
            free = free and "properties" not in _plain(inner)
        else:
            inner = node.get("properties", {}).get(step, {})
            own = str(inner.get("title") or capital(step.replace("_", " "))) if inner else ""
            title = f"{title}: {own}" if steps[-2:-1] and isinstance(steps[-2], int) and own else own
            unit = str(inner.get("unit", ""))
            free = "default" in inner
        node = inner
    return _Place(tuple(steps), title, _plain(node), unit, free)


def _item_words(node: Schema, item: Schema, number: int, steps: Sequence[str | int]) -> str:
    """What an item of a list is called: a direction of a point, a corner of an outline, or else by its number."""
    numbers = len(node.get("prefixItems", ()))
    if numbers == 3:
        return ("back", "right", "up")[number]
    if numbers == 2:
        return ("back", "up or right" if isinstance(steps[-2], int) else "up")[number]
    return f"{'corner' if 'prefixItems' in _plain(item) else 'item'} {number + 1}"


def _plain(node: Schema) -> Schema:
    """Follow references, and take "this or null" as this."""
    while True:
        if "$ref" in node:
            node = _at(node["$ref"])
        elif "anyOf" in node:
            node = next(option for option in node["anyOf"] if option.get("type") != "null")
        else:
            return node


def _at(reference: str) -> Schema:
    found: Schema = document_schema()["$defs"][reference.rpartition("/")[2]]
    return found


def _item(node: Schema, number: int) -> Schema:
    fixed = node.get("prefixItems", ())
    found: Schema = fixed[number] if number < len(fixed) else node.get("items", {})
    return found


def _property(options: Sequence[Schema], name: str) -> Schema:
    found: Schema = next((option["properties"][name] for option in options if name in option["properties"]), {})
    return found


def _shared_tag(node: Schema) -> Schema:
    """The alternatives' common part as far as a complaint needs it: the tag, with all its values."""
    tag, mapping = node["discriminator"]["propertyName"], node["discriminator"]["mapping"]
    return {"properties": {tag: {"enum": list(mapping), "title": "Kind"}}}


def _way_out(place: _Place) -> str:
    return "Correct it or leave it out." if place.may_be_left_out else "Correct it."


def _value(error: Error) -> str:
    """Wrong value as the file spells it, shortened."""
    try:
        text = json.dumps(error["input"], ensure_ascii=False, default=str)
    except ValueError:  # a whole number of more digits than Python prints
        return "a number with very many digits"
    return shortened(text)


def _from_validator(error: Error, place: _Place, display: DisplayChoice | None) -> Complaint:
    """Take apart the text of a check over several entries, which begins with the entry to change."""
    refused = error["ctx"]["error"]
    if isinstance(refused, VariantRefused) and refused.why is not None:
        inner = first_complaint(refused.why, display)
        return Complaint(f"variants.{refused.number}.changes.{inner.path}", inner.title, inner.what)
    text = str(refused)
    name, colon, what = text.partition(": ")
    if not colon:
        return Complaint(place.path, place.title, f"{text.removesuffix('.')}. {_way_out(place)}")
    steps = (int(step) if step.isdecimal() else step for step in name.split("."))
    entry = _place((*error["loc"], *steps))
    return Complaint(entry.path, entry.title, f"{what.removesuffix('.')}.")


def _out_of_range(error: Error, place: _Place, display: DisplayChoice | None) -> str:
    """Name the whole range, both its ends and the unit."""
    range_words = _range_words(place, display)
    value = error["input"]
    try:
        this = _amount(float(value), place.unit, display) if display is not None else _value(error)
    except (OverflowError, ValueError):
        this = _value(error)
    return f"must be {range_words}; this is {this}. {_way_out(place)}"


def _range_words(place: _Place, display: DisplayChoice | None) -> str:
    low, high = place.schema.get("minimum"), place.schema.get("maximum")
    above = place.schema.get("exclusiveMinimum")
    if low == LEAST:
        low, above = None, 0.0
    ends = [] if above is None else [f"more than {_amount(above, place.unit, display, bare=high is not None)}"]
    if low is not None and high is not None:
        bare = _amount(low, place.unit, display, bare=True)
        return f"from {bare} to {_amount(high, place.unit, display)}"
    if low is not None:
        ends.append(f"at least {_amount(low, place.unit, display)}")
    if high is not None:
        ends.append(f"at most {_amount(high, place.unit, display)}")
    return " and ".join(ends)


def _amount(value: float, unit: str, display: DisplayChoice | None, *, bare: bool = False) -> str:
    """One end of a range, with its unit unless `bare` (the other end, which follows, then carries it)."""
    if display is not None:
        return show(value, as_kind(unit or "ratio"), display)
    number = f"{value:g}"
    if bare or unit in {"", "count"}:
        return number
    return f"{number}°" if unit == "deg" else f"{number} {unit}"


def _not_a_number(error: Error, place: _Place, display: DisplayChoice | None) -> str:
    value = error["input"]
    if isinstance(value, str):
        return f"must be a number without quotation marks; this is {_value(error)}. {_way_out(place)}"
    if value is None:
        return "must be a number; this is null. Correct it."
    within = _range_words(place, display)
    return f"must be a number{f' {within}' if within else ''}; this is {_value(error)}. {_way_out(place)}"


def _not_finite(_: Error, place: _Place, display: DisplayChoice | None) -> str:
    within = _range_words(place, display)
    return f"must be a finite number{f' {within}' if within else ''}, not NaN or infinity. {_way_out(place)}"


def _not_whole(error: Error, place: _Place, display: DisplayChoice | None) -> str:
    return f"must be a whole number {_range_words(place, display)}; this is {_value(error)}. {_way_out(place)}"


def _unknown_key(error: Error, _: _Place, __: DisplayChoice | None) -> str:
    section = _place(error["loc"][:-1]).schema
    meant = nearest(str(error["loc"][-1]), list(section.get("properties", {})))
    advice = f"did you mean {meant}? Correct its name or remove it." if meant else "remove it."
    return f"is not an entry of this document; {advice}"


def _not_one_of(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    choices = place.schema.get("enum") or [place.schema["const"]]
    words = " or ".join(json.dumps(choice) for choice in choices)
    return f"must be {words}; this is {_value(error)}. Correct it."


def _no_tag(error: Error, place: _Place, display: DisplayChoice | None) -> str:
    tag = place.steps[-1]
    given = error["input"].get(tag) if isinstance(error["input"], Mapping) else None
    if given is None:
        words = " or ".join(json.dumps(choice) for choice in place.schema["enum"])
        return f"must be given, as {words}. Add it."
    return _not_one_of({"input": given}, place, display)


def _list_words(place: _Place) -> str:
    fixed = place.schema.get("prefixItems")
    if fixed:
        return f"a list of {len(fixed)} numbers, such as {json.dumps([1630.0, 640.0, 35.0][: len(fixed)])}"
    return "a list in [ ]"


def _not_a_list(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    return f"must be {_list_words(place)}; this is {_value(error)}. {_way_out(place)}"


def _wrong_count(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    context = error["ctx"]
    if place.schema.get("prefixItems"):
        return f"must be {_list_words(place)}; this has {context['actual_length']}. {_way_out(place)}"
    ends = f"at most {context['max_length']}" if "max_length" in context else f"at least {context['min_length']}"
    return f"must have {ends} items; this has {context['actual_length']}. {_way_out(place)}"


def _not_a_section(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    if not place.steps:
        return f"a build document is an object in {{ }}; this is {_value(error)}."
    return f"must be a section in {{ }}; this is {_value(error)}. {_way_out(place)}"


def _not_text(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    return f"must be text in quotation marks; this is {_value(error)}. {_way_out(place)}"


def _not_yes_or_no(error: Error, place: _Place, _: DisplayChoice | None) -> str:
    return f"must be true or false; this is {_value(error)}. {_way_out(place)}"


def _text_too_long(error: Error, _: _Place, __: DisplayChoice | None) -> str:
    return f"must have at most {error['ctx']['max_length']} letters; this has {len(error['input'])}. Shorten it."


def _text_too_short(_: Error, place: _Place, __: DisplayChoice | None) -> str:
    return f"must not be empty. Give it a name{' or leave it out' if place.may_be_left_out else ''}."


def _absent(_: Error, __: _Place, ___: DisplayChoice | None) -> str:
    return "must be given. Add it."


_WORDS: Final[Mapping[str, Callable[[Error, _Place, DisplayChoice | None], str]]] = {
    "float_type": _not_a_number,
    "float_parsing": _not_a_number,
    "int_type": _not_a_number,
    "finite_number": _not_finite,
    "greater_than": _out_of_range,
    "greater_than_equal": _out_of_range,
    "less_than": _out_of_range,
    "less_than_equal": _out_of_range,
    "multiple_of": _not_whole,
    "extra_forbidden": _unknown_key,
    "literal_error": _not_one_of,
    "enum": _not_one_of,
    "union_tag_invalid": _no_tag,
    "union_tag_not_found": _no_tag,
    "tuple_type": _not_a_list,
    "list_type": _not_a_list,
    "too_long": _wrong_count,
    "too_short": _wrong_count,
    "model_type": _not_a_section,
    "model_attributes_type": _not_a_section,
    "dict_type": _not_a_section,
    "bool_type": _not_yes_or_no,
    "string_type": _not_text,
    "string_too_long": _text_too_long,
    "string_too_short": _text_too_short,
    "missing": _absent,
}
