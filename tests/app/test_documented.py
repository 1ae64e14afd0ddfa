"""What the two guides say is there is there, and what is there they say: modules by their rows, commands by theirs."""

import argparse
import re
import shlex
from pathlib import Path

import pytest

from app.commands import COMMANDS

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")


def modules(folder: str) -> set[str]:
    return {path.stem for path in (ROOT / folder).glob("*.py")} - {"__init__", "__main__"}


@pytest.mark.parametrize("room", ["document", "mechanics", "judge", "words"])
def test_every_room_of_geometry_has_all_its_modules_in_its_row_and_no_other(room: str) -> None:
    (row,) = re.findall(rf"^\| `{room}` \|(.*)\|.*\|$", GUIDE, re.MULTILINE)
    told = set(re.findall(r"`([a-z_]+)`", row))
    assert modules(f"geometry/{room}") - told == set()
    assert told - modules(f"geometry/{room}") <= ({"judge"} if room == "judge" else set())


@pytest.mark.parametrize("folder", ["app/drawing", "app/papers", "app/window"])
def test_every_module_of_these_folders_is_named(folder: str) -> None:
    assert [name for name in sorted(modules(folder)) if f"`{name}`" not in GUIDE] == []


def test_every_command_has_its_row_in_the_readme_with_words_that_it_takes() -> None:
    rows = re.findall(r"^\| `python -m app (\w+)(.*?)` \|", README, re.MULTILINE)
    assert [name for name, _ in rows] == list(COMMANDS)
    for name, words in rows:
        parser = argparse.ArgumentParser(prog=name, allow_abbrev=False)
        COMMANDS[name].describe(parser)
        told = set(re.findall(r"(?<!\S)\[?(--?[a-z]+)", words))
        known = {option for action in parser._actions for option in action.option_strings}
        assert told <= known, name
        assert all(action.option_strings[-1] in words or action.option_strings[0] in words
                   for action in parser._actions if action.option_strings and action.dest != "help"), name  # fmt: skip
        bare = re.sub(r"\[[^]]*\]", "", words).replace("FILE", "file").replace("BUILD", "build.json")
        parser.parse_args(shlex.split(bare))
