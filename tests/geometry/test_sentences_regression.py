"""Every sentence as it was read through and found right; a regression test, and no proof of anything.

`sentences.txt` holds one line for each build of `test_words.ROWS`: finding, part, verdict, sentence. Where a sentence
is meant to change, write the list anew with ``python -m tests.geometry.test_sentences_regression``, read what differs,
and see that no sentence contradicts its verdict.
"""

from pathlib import Path

import pytest

from geometry import Build, edited
from tests.geometry import conftest
from tests.geometry.test_words import ROWS
from tests.geometry.words_builds import base, found_in

LIST = Path(__file__).with_name("sentences.txt")


def line_of(build: Build, name: str, part: str) -> str:
    finding = found_in(build)[1][name, part]
    return f"{name} | {part} | {finding.verdict} | {finding.says}"


@pytest.mark.parametrize("number", range(len(ROWS)), ids=[f"{row[0]}-{row[4]}" for row in ROWS])
def test_the_sentence_is_the_one_that_was_read(request: pytest.FixtureRequest, number: int) -> None:
    name, part, of, changes, _ = ROWS[number]
    expected = LIST.read_text(encoding="utf-8").splitlines()
    assert len(expected) == len(ROWS)
    assert line_of(edited(base(of, request), changes), name, part) == expected[number]


if __name__ == "__main__":
    one_piece = conftest.one_piece.__wrapped__()  # type: ignore[attr-defined]
    bases = {
        "empty": Build(), "one_piece": one_piece,
        "two_piece": conftest.two_piece.__wrapped__(one_piece),  # type: ignore[attr-defined]
    }  # fmt: skip
    lines = [line_of(edited(bases[of], changes), name, part) for name, part, of, changes, _ in ROWS]
    LIST.write_text("\n".join(lines) + "\n", encoding="utf-8")
