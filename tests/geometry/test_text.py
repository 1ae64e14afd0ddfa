"""Words that enter the document: every text of the models is cleaned, and what cleaning does to each kind of sign.

Categories of signs are Unicode's (standard annex 44); which signs XML 1.0 allows is from its section 2.2 (from memory).
"""

import json
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from geometry import Build, edited
from geometry.document.text import INSTEAD, cleaned_line, cleaned_page

OUTLINE = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))


def test_every_text_of_the_models_is_cleaned() -> None:
    texts = dict(_texts(Build, ""))
    assert {"title", "notes", "shocks.name", "torque_bars.name", "obstacles.name"} <= texts.keys()
    for path, (model, name) in texts.items():
        field = model.__pydantic_fields__[name]
        cleaners = [one for one in field.metadata if getattr(one, "func", None) in {cleaned_line, cleaned_page}]
        assert len(cleaners) == 1, f"{path} is text that nobody cleans"


def _texts(kind: Any, path: str) -> Any:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        for name, field in kind.__pydantic_fields__.items():
            if field.annotation is str:
                yield f"{path}{name}", (kind, name)
            else:
                yield from _texts(field.annotation, f"{path}{name}.")
    else:
        for part in get_args(kind):
            yield from _texts(part, path)


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("frame rail", "frame rail"),
        ("  frame \t\u00a0\u3000 rail\n", "frame rail"),
        ("frame\u2028rail\u2029\x85", "frame rail"),
        ("\ufeffta\u200bnk\u00ad", "tank"),
        ("\u202eknat\u202c \u2067a\u2069\u200e", "knat a"),
        ("a\x1b[31mb\x07\x00", f"a{INSTEAD}[31mb{INSTEAD}{INSTEAD}"),
        ("a\x7f\x9b", f"a{INSTEAD}{INSTEAD}"),
        ("\uffff\ufffe\U0001ffff\ufdd0", INSTEAD * 4),
        ("\ud800", INSTEAD),
        ("❤\ufe0f \u3164", "❤"),
        ("e\u0301 漢 שלום 🚚", "e\u0301 漢 שלום 🚚"),
        ("<b>$x^2$ & 'y'", "<b>$x^2$ & 'y'"),
    ],
)
def test_each_kind_of_sign(typed: str, line: str) -> None:
    assert edited(Build(), {"title": typed}).title == line
    assert edited(Build(), {"obstacles.0": {"name": typed, "outline_mm": OUTLINE}}).obstacles[0].name == line
    try:
        text = json.dumps({"title": typed}, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return  # half a letter, which no file can hold
    assert Build.model_validate_json(text).title == line


def test_notes_keep_their_lines_and_nothing_else_of_their_breaks() -> None:
    notes = edited(Build(), {"notes": "one\r\ntwo\rthree\u2028four\x0bfive\n\n  six\tseven\x1b\n"}).notes
    assert notes == f"one\ntwo\nthree\nfour\nfive\n\n  six seven{INSTEAD}\n"


@pytest.mark.parametrize("name", ["", " ", "\ufeff", "\u200b\u202e", "\u3164", "\n"])
def test_a_name_that_nobody_sees_is_refused(name: str) -> None:
    with pytest.raises(ValidationError, match="at least 1 character"):
        edited(Build(), {"shocks.0": {"name": name}})


def test_what_is_no_text_is_refused_as_such() -> None:
    for wrong in (3, None, ["a"], {"a": 1}):
        with pytest.raises(ValidationError, match="valid string"):
            Build.model_validate({"notes": wrong})


@given(st.text())
def test_cleaning_twice_changes_nothing_and_every_output_can_hold_it(text: str) -> None:
    line, page = cleaned_line(text), cleaned_page(text)
    assert cleaned_line(line) == line
    assert cleaned_page(page) == page
    assert "\n" not in line
    for sign in {*line, *page} - {"\n"}:
        assert ord(sign) >= 0x20  # what XML 1.0 does not allow, section 2.2
        assert not 0x7F <= ord(sign) < 0xA0
        assert not 0xD800 <= ord(sign) < 0xE000
        assert sign not in "\ufffe\uffff\ufeff\u2028\u2029\u202e"
