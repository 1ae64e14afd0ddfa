"""A window killed at any moment: the file is the old one or the new one, and at most 3 s of work are lost.

`SHAFTWRIGHT_KILLS` says how many windows are killed; a few in the ordinary run. The time lost is measured on the killed
window's own clock, from the first edit that is nowhere to its last: a slow machine makes it edit less, not lose more.
"""

import os
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from app import files
from app.files import build_text, read_build, sweep_drafts
from app.window.keeping.recovery import left_copies
from geometry import Build

KILLS = int(os.environ.get("SHAFTWRIGHT_KILLS", "3"))
MOST_LOST_S = 3.0
ROOT = Path(__file__).parent.parent.parent
WAYS = ((0.0, 3.3, 5.0), (1.0, 0.0, 2.0), (0.3, 0.0, 2.0), (0.02, 0.0, 6.0))
"""Share of edits that are saved, and the earliest and latest moment of the kill, seconds after the first edit."""


@pytest.mark.parametrize("number", range(KILLS))
def test_a_killed_window_loses_no_file_and_little_work(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "truck.json"
    path.write_text(build_text(Build(title="edit 0")), encoding="utf-8")
    saving, earliest, latest = WAYS[number % len(WAYS)]
    moment = Random(number).uniform(earliest, latest)
    told = killed(tmp_path, number, saving, moment)
    edited = {int(words[1]): float(words[2]) for words in told if words[0] == "edited"}
    begun = [0, *(int(words[1]) for words in told if words[0] == "saving")]
    ended = [0, *(int(words[1]) for words in told if words[0] == "saved")]

    in_file = number_of(read_build(path))
    assert in_file in {begun[-1], ended[-1]}

    copies = left_copies(tmp_path / "recovery")
    assert len(copies) <= 1
    assert all(copy.build is not None for copy in copies)
    kept = max([in_file, *(number_of(copy.build) for copy in copies if copy.build is not None)])
    lost = [time for count, time in edited.items() if count > kept]
    lost_s = max(lost) - min(lost) if lost else 0.0
    drafts = [file for file in tmp_path.iterdir() if file.name.startswith(".truck-")]
    print(
        f"kill {number} after {moment:.2f} s: {len(edited)} edits, {len(ended) - 1} saves, "
        f"{len(drafts)} drafts left, in a save: {'yes' if begun[-1] != ended[-1] else 'no'}, lost {lost_s:.2f} s"
    )
    assert lost_s <= MOST_LOST_S

    monkeypatch.setattr(files, "_YOUNG_S", -1)
    sweep_drafts(path)
    assert sorted(file.name for file in tmp_path.iterdir() if file.is_file()) == ["truck.json"]
    assert [file.suffix for file in (tmp_path / "recovery").glob("open-*.new")] == []


def killed(folder: Path, seed: int, saving: float, moment: float) -> list[list[str]]:
    """Let a window work for so many seconds, kill it, and return the words of each line that it said."""
    child = [sys.executable, str(Path(__file__).with_name("killed_window.py")), str(folder), str(seed), str(saving)]
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
    with subprocess.Popen(
        child, bufsize=0, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=surroundings
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline().strip() == b"ready"
        with pytest.raises(subprocess.TimeoutExpired):  # it never ends by itself
            process.communicate(timeout=moment)
        process.kill()  # SIGKILL where there is one
        said, troubles = process.communicate()
    assert b"Traceback" not in troubles, troubles.decode()
    return [line.split() for line in said.decode().split("\n")[:-1]]


def number_of(build: Build) -> int:
    return int(build.title.removeprefix("edit "))
