"""One finding has one name: what stands under the view is its title with words left out."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from app.drawing.wording import MOST_OF_A_NAME, SHORT, short_name
from geometry import Build, solve
from geometry.judge.limits import LIMITS
from geometry.words.solution import Verdict


def words(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower())


@pytest.mark.parametrize("kind", sorted(LIMITS))
def test_a_short_name_is_words_of_the_title_in_their_order(kind: str) -> None:
    rest = iter(words(LIMITS[kind].trouble))
    assert all(word in rest for word in words(SHORT[kind]))
    assert len(SHORT[kind]) <= MOST_OF_A_NAME


def test_no_two_findings_share_a_short_name() -> None:
    assert len(set(SHORT.values())) == len(SHORT) == len(LIMITS)


@pytest.mark.parametrize("verdict", ["clear", "unknown"])
def test_what_is_not_wrong_is_not_called_by_what_would_be(verdict: Verdict) -> None:
    row = LIMITS["pinion_nose_up"]
    finding = next(one for one in solve(Build()).findings)
    one = replace(finding, id="pinion_nose_up", title="Pinion nose not high", verdict=verdict)
    assert short_name(one) == "pinion nose not high"
    for bad in ("caution", "hold"):
        assert short_name(replace(one, title=row.trouble, verdict=bad)) == SHORT["pinion_nose_up"]
