"""The command that tells what a vibration may come from: its words, and one sentence for what cannot be."""

from pathlib import Path

import pytest

from app.commands import main
from app.files import read_build
from geometry import solve
from geometry.words.vibration import Felt, diagnosis

RANCH = Path(__file__).parents[2] / "sample_builds" / "ranch_truck_swap.json"


def test_it_tells_what_turns_the_suspects_and_the_next_test(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--speed", "60 mph", "--frequency", "81", "--sounds", "hum", "--under", "pull", "--gear", "4"]
    assert main(["vibration", str(RANCH), *words]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    build = read_build(RANCH)
    told = diagnosis(build, solve(build), Felt(96.56064, 81.0, "hum", "pull", 4))
    assert "Felt at 60 mph, 81.0 Hz (times a second), a hum, under pull, gear 4" in out
    once = told.turning.shaft_hz
    assert once is not None
    assert f"The shaft   once a turn {once:.1f} Hz, twice a turn {2 * once:.1f} Hz" in out
    assert "in times a second (Hz)" in out
    for number, one in enumerate(told.suspects[:5], start=1):
        assert f"{number}  {one.title}" in out
    listed, ruled_out = " ".join(out.split()).split("Ruled out by what was read: ")
    assert told.cleared
    for one in told.cleared:
        assert one.title not in listed
        assert one.cleared in ruled_out
    assert told.test.split(":")[0] in " ".join(out.split())
    assert "never under a running shaft" in " ".join(out.split())
    assert "what each sign weighs, is common practice" in " ".join(out.split())
    assert all(len(line) <= 98 for line in out.splitlines())


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--speed", "fast"], "--speed: “fast” was not understood"),
        (["--speed", "-3"], "must be above 0 and at most 311 mph"),
        (["--speed", "60", "--frequency", "-1"], "--frequency -1: must be above 0 and at most 10,000 Hz"),
        (["--speed", "60", "--frequency", "2400 rpm"], "is a turning speed, which is not wanted here"),
        (["--speed", "60", "--frequency", "20000"], "must be above 0 and at most 10,000 Hz"),
        (["--speed", "60", "--gear", "0"], "--gear 0: must be above 0"),
        (["--speed", "60", "--engine", "nan"], "--engine nan: must be above 0"),
        ([], "required: --speed"),
    ],
)
def test_what_cannot_be_is_one_sentence(capsys: pytest.CaptureFixture[str], words: list[str], says: str) -> None:
    assert main(["vibration", str(RANCH), *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1


def test_an_empty_build_says_what_is_wanting(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "empty.json"
    path.write_text("{}", encoding="utf-8")
    assert main(["vibration", str(path), "--speed", "60", "--gear", "3"]) == 0
    out = capsys.readouterr().out
    assert "Not told for want of: rear tyre radius, loaded, axle ratio, gear" in " ".join(out.split())


@pytest.mark.parametrize("typed", ["9876.5", "9876.5 Hz"])
def test_a_frequency_is_read_with_its_unit_and_never_told_in_powers_of_ten(
    typed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["vibration", str(RANCH), "--speed", "60 mph", "--frequency", typed, "--gear", "1"]) == 0
    out = capsys.readouterr().out
    assert "9,877 Hz (times a second)" in out
    assert "e+" not in out
    assert "Nothing that is known here turns at that: read frequency and speed once more." in out
