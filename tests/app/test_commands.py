"""The command line: what each word does, exit codes, and one clear line for what is wrong."""

import gc
import io
import json
import re
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from app.commands import COMMANDS, main
from geometry import Build, solve

KEYS = {
    "angles": {
        "output_slope_deg", "shaft_slope_deg", "pinion_slope_deg",
        "output_plan_deg", "shaft_plan_deg", "pinion_plan_deg",
    },
    "shaft": {
        "length_mm", "cruise_rpm", "max_rpm", "critical_rpm", "torque_nm", "low_gear_torque_nm", "wheel_slip_torque_nm",
        "shear_mpa", "mass_kg",
    },
    "motion": {"pinion_residual_rad_s2", "drive_inertia_rad_s2", "coast_inertia_rad_s2", "equivalent_angle_deg"},
    "setpoints": {"pinion_slope_deg", "axle_shim_deg", "mount_shim_mm", "perch_to_pinion_deg"},
}  # fmt: skip
"""What `solve --json` promises at least: the public names, written out."""


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Pretended sheet, sketch and window modules that write a word and note what they were asked for."""
    calls: list[dict[str, Any]] = []

    def sheet_pages(build: Build, _: object, paper: str, *, source_name: str) -> list[str]:
        calls.append({"title": build.title, "paper": paper, "source": source_name})
        return ["a sheet"]

    def pdf_bytes(pages: list[str], title: str) -> bytes:
        calls[-1]["heading"] = title
        return "".join(pages).encode()

    def sketch(build: Build, _: object) -> str:
        return build.title

    def picture_bytes(title: str, ending: str) -> bytes:
        calls.append({"title": title, "ending": ending})
        return b"a sketch"

    def run(path: Path | None) -> int:
        calls.append({"window": path})
        return 0

    pretended = {
        "app.sheet": (sheet_pages,),
        "app.drawing.picture_files": (sketch, picture_bytes, pdf_bytes),
        "app.window.shell.main": (run,),
    }
    for name, functions in pretended.items():
        parent = name.rpartition(".")[0]
        if parent != "app":
            monkeypatch.setitem(sys.modules, parent, ModuleType(parent))
        module = ModuleType(name)
        for function in functions:
            setattr(module, function.__name__, function)
        monkeypatch.setitem(sys.modules, name, module)
    return calls


def complaint(capsys: pytest.CaptureFixture[str]) -> str:
    """The one line on stderr, with nothing on stdout."""
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.endswith("\n")
    return err.rstrip("\n")


def test_solve_prints_a_report(in_a_hurry: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", str(in_a_hurry)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    for part in ("Angles", "Joints", "Shaft", "Motion", "Set before tacking", "Findings", "Cautions"):
        assert f"\n{part}" in out
    assert "\x1b" not in out  # no terminal, no colours


def test_solve_json_is_the_solution_with_the_promised_names(
    in_a_hurry: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["solve", str(in_a_hurry), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["verdict"] in {"clear", "caution", "hold", "unknown"}
    assert {
        "verdict",
        "angles",
        "joints",
        "shaft",
        "motion",
        "travel",
        "windup",
        "setpoints",
        "findings",
    } <= found.keys()
    for part, names in KEYS.items():
        assert names <= found[part].keys()
    assert [joint["name"] for joint in found["joints"]] == ["front", "rear"]
    assert all({"name", "type", "operating_deg", "side_deg", "plan_deg"} <= joint.keys() for joint in found["joints"])
    wanted = {"id", "verdict", "value", "limit", "hold_limit", "sense", "unit", "says", "remedy", "basis"}
    assert found["findings"]
    assert all(wanted <= finding.keys() for finding in found["findings"])
    # output 3.5, shaft 10.8, pinion 3.5: both joints at 7.3° (angles subtract in one plane)
    assert [joint["operating_deg"] for joint in found["joints"]] == pytest.approx([7.3, 7.3], abs=1e-9)
    assert found["shaft"]["cruise_rpm"] is None


def test_schema_carries_titles_units_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["properties"].keys() == Build.model_fields.keys()
    slope = schema["$defs"]["Powertrain"]["properties"]["slope_deg"]
    assert (slope["title"], slope["unit"]) == ("Output slope", "deg")
    measured = [
        (section, name, entry)
        for section, definition in schema["$defs"].items()
        for name, entry in definition["properties"].items()
        if name.endswith(("_mm", "_deg", "_nm", "_kg", "_rpm", "_kmh", "_mpa"))
    ]
    assert len(measured) > 60
    for section, name, entry in measured:
        assert entry["title"], (section, name)
        assert entry["description"], (section, name)
        assert entry["unit"], (section, name)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["solve"], "required: BUILD"),
        (["solve", "BUILD", "--jsn"], "--jsn"),
        (["solve", "BUILD", "--js"], "--js"),
        (["solve", "BUILD", "BUILD"], "unrecognized arguments"),
        (["solv", "BUILD"], "solv is neither a command nor a file; did you mean solve?"),
        (
            ["www", "BUILD"],
            "www is neither a command nor a file; the commands are solve, sheet, card, order, brackets",
        ),
        (["BUILD", "--light"], "--light"),
        (["sheet", "BUILD"], "required: -o"),
        (["sheet", "BUILD", "-o"], "-o/--output"),
        (["sheet", "BUILD", "-o", "OUT.pdf", "--paper", "a5"], "'a5'"),
        (["sheet", "BUILD", "-o", "OUT.svg"], "OUT.svg: the output's name must end in .pdf"),
        (["sketch", "BUILD", "-o", "OUT.gif"], "OUT.gif: the output's name must end in .svg or .png or .pdf"),
        (["sketch", "BUILD", "-o", "OUT"], "OUT: the output's name must end in"),
        (["schema", "BUILD"], "unrecognized arguments"),
        (["schema", "a\nb"], r"a\nb"),
    ],
)
def test_wrong_words_are_one_line(
    words: list[str],
    said: str,
    in_a_hurry: Path,
    drawn: list[dict[str, Any]],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(in_a_hurry.parent)
    assert main([str(in_a_hurry) if word == "BUILD" else word for word in words]) == 2
    assert said in complaint(capsys)
    assert drawn == []
    assert list(in_a_hurry.parent.iterdir()) == [in_a_hurry]


@pytest.mark.parametrize("words", [["--help"], ["-h"], *([command, "--help"] for command in COMMANDS)])
def test_help(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 0
    out = capsys.readouterr().out
    assert out.startswith("usage: python -m app")
    if words[0].startswith("-"):
        listing = out.partition("commands:\n")[2].partition("\n\n")[0].splitlines()
        assert [line.split()[0] for line in listing] == list(COMMANDS)
        helps = [line.removesuffix(command.help) for line, command in zip(listing, COMMANDS.values(), strict=True)]
        assert len({len(head) for head in helps}) == 1  # all begin under one another,
        assert all(head.endswith("  ") for head in helps)  # apart from the longest name too
        assert "./solve" in out


@pytest.mark.parametrize(
    ("words", "display", "paper"),
    [
        ([], "inch", "letter"),
        ([], "millimetre", "a4"),
        (["--paper", "a4"], "inch", "a4"),
        (["--paper", "letter"], "millimetre", "letter"),
    ],
)
def test_sheet(words: list[str], display: str, paper: str, tmp_path: Path, drawn: list[dict[str, Any]]) -> None:
    build, output = tmp_path / "truck.json", tmp_path / "Sheet.PDF"
    build.write_text(json.dumps({"title": "T", "display": {"length": display}}), encoding="utf-8")
    assert main(["sheet", str(build), "-o", str(output), *words]) == 0
    assert output.read_bytes() == b"a sheet"
    (call,) = drawn
    assert (call["title"], call["paper"], call["source"]) == ("T", paper, "truck.json")
    assert call["heading"] == "T"
    assert sorted(item.name for item in tmp_path.iterdir()) == ["Sheet.PDF", "truck.json"]


@pytest.mark.parametrize("suffix", ["svg", "png", "pdf"])
def test_sketch(suffix: str, in_a_hurry: Path, drawn: list[dict[str, Any]]) -> None:
    output = in_a_hurry.with_name(f"views.{suffix}")
    output.write_bytes(b"of last week")
    assert main(["sketch", str(in_a_hurry), "-o", str(output)]) == 0
    assert output.read_bytes() == b"a sketch"
    assert drawn == [{"title": "", "ending": f".{suffix}"}]


def test_output_that_cannot_be_written(
    in_a_hurry: Path, drawn: list[dict[str, Any]], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = in_a_hurry.with_name("folder.pdf")
    folder.mkdir()
    for output, said in ((folder, "is a folder"), (in_a_hurry.with_name("no") / "x.pdf", "there is no folder")):
        assert main(["sheet", str(in_a_hurry), "-o", str(output)]) == 2
        line = complaint(capsys)
        assert line.startswith(f"{output}: ")
        assert said in line
    assert drawn == []


def test_output_is_never_the_build_itself(
    tmp_path: Path, drawn: list[dict[str, Any]], capsys: pytest.CaptureFixture[str]
) -> None:
    build, link = tmp_path / "truck.pdf", tmp_path / "other.pdf"
    build.write_text('{"title": "kept"}', encoding="utf-8")
    link.hardlink_to(build)
    for output in (build, link):
        assert main(["sketch", str(build), "-o", str(output)]) == 2
        assert complaint(capsys) == f"{output}: is the build file itself; give the output another name"
    assert build.read_text(encoding="utf-8") == '{"title": "kept"}'
    assert drawn == []


def test_failing_drawing_leaves_the_old_output(
    in_a_hurry: Path, drawn: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    output = in_a_hurry.with_name("sheet.pdf")
    output.write_bytes(b"of last week")

    def half(path: Path, _: bytes) -> None:
        with path.open("wb") as file:
            file.write(b"half a sh")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", half)
    assert main(["sheet", str(in_a_hurry), "-o", str(output)]) == 2
    assert complaint(capsys) == f"{output}: cannot be written: no space left on device"
    assert output.read_bytes() == b"of last week"
    assert sorted(item.name for item in output.parent.iterdir()) == ["hurry.json", "sheet.pdf"]


def test_without_a_screen_the_findings_are_printed(
    in_a_hurry: Path, drawn: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert main([str(in_a_hurry)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("There is no screen here: QT_QPA_PLATFORM is offscreen")
    build = Build.model_validate_json(in_a_hurry.read_text(encoding="utf-8"))
    assert all(f"{finding.verdict.upper():9}{finding.title}" in out for finding in solve(build).findings)
    assert f"python -m app sketch {in_a_hurry} -o hurry.svg" in out
    assert f"python -m app sheet {in_a_hurry} -o hurry.pdf" in out
    assert drawn == []


def test_with_a_screen_the_window_opens(
    in_a_hurry: Path, drawn: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.screen.trouble_with_window", lambda: None)
    monkeypatch.setattr("app.files.sample_path", lambda: in_a_hurry)
    assert main([str(in_a_hurry)]) == 0
    assert main([]) == 0
    assert drawn == [{"window": in_a_hurry}, {"window": None}]


def test_window_that_stays_open_searches_for_garbage(
    in_a_hurry: Path, drawn: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.screen.trouble_with_window", lambda: None)
    gc.disable()  # as `python -m app` begins
    try:
        assert main([str(in_a_hurry)]) == 0
        assert gc.isenabled()
    finally:
        gc.enable()
    assert drawn == [{"window": in_a_hurry}]


def test_wrong_file_is_said_before_a_window_opens(
    tmp_path: Path, drawn: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("app.screen.trouble_with_window", lambda: None)
    assert main([str(tmp_path / "none.json")]) == 2
    assert "there is no such file" in complaint(capsys)
    assert drawn == []


def test_without_a_file_the_sample_is_taken(
    in_a_hurry: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("app.files.sample_path", lambda: in_a_hurry)
    assert main([]) == 0
    assert f"sheet {in_a_hurry} -o" in capsys.readouterr().out


def test_absent_sample_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("app.files.__file__", str(tmp_path / "app" / "files.py"))
    assert main([]) == 2
    assert "the sample is not there; name a build file" in complaint(capsys)


def test_build_named_like_a_command(
    in_a_hurry: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    in_a_hurry.rename(in_a_hurry.with_name("solve"))
    monkeypatch.chdir(in_a_hurry.parent)
    assert main(["./solve"]) == 0
    assert "Findings" in capsys.readouterr().out


class _Console(io.TextIOWrapper):
    """A console of another age, which knows no degree sign beyond its own page."""

    def __init__(self) -> None:
        super().__init__(io.BytesIO(), encoding="ascii")

    def seen(self) -> bytes:
        self.flush()
        assert isinstance(self.buffer, io.BytesIO)
        return self.buffer.getvalue()


def test_console_that_lacks_letters(in_a_hurry: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    console = _Console()
    monkeypatch.setattr(sys, "stdout", console)
    assert main(["solve", str(in_a_hurry)]) == 0
    assert b"10.8?" in console.seen()
    data = _Console()
    monkeypatch.setattr(sys, "stdout", data)
    assert main(["schema"]) == 0
    assert (
        json.loads(data.seen().decode("utf-8"))["$defs"]["Powertrain"]["properties"]["peak_torque_nm"]["unit"] == "N·m"
    )


@pytest.mark.parametrize(
    ("error", "code", "said"),
    [
        (BrokenPipeError(), 0, ""),
        (OSError(28, "No space left on device"), 2, "the output cannot be written: No space left on device\n"),
        (KeyboardInterrupt(), 130, ""),
    ],
)
def test_reader_that_goes_away_and_full_disk(
    error: BaseException,
    code: int,
    said: str,
    in_a_hurry: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    class Stopped(io.StringIO):
        def write(self, _: str) -> int:
            raise error

    monkeypatch.setattr(sys, "stdout", Stopped())
    assert main(["solve", str(in_a_hurry)]) == code
    assert capsys.readouterr().err == said


class _Terminal(io.StringIO):
    """A stream that says whether a person looks at it."""

    def __init__(self, looked_at: bool) -> None:
        super().__init__()
        self.looked_at = looked_at

    def isatty(self) -> bool:
        return self.looked_at


@pytest.mark.parametrize(
    ("looked_at", "said", "coloured"),
    [
        (True, {}, True),
        (True, {"TERM": "xterm"}, True),
        (True, {"NO_COLOR": ""}, True),
        (True, {"NO_COLOR": "1"}, False),
        (True, {"NO_COLOR": "0"}, False),
        (True, {"TERM": "dumb"}, False),
        (False, {}, False),
        (False, {"NO_COLOR": ""}, False),
        (False, {"FORCE_COLOR": ""}, False),
        (False, {"FORCE_COLOR": "1"}, False),
        (False, {"CLICOLOR_FORCE": "1"}, False),
    ],
)
def test_colour_goes_to_a_person_at_a_terminal_alone(
    looked_at: bool, said: dict[str, str], coloured: bool, in_a_hurry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("NO_COLOR", "FORCE_COLOR", "CLICOLOR_FORCE", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in {"WT_SESSION": "1", **said}.items():
        monkeypatch.setenv(name, value)
    terminal = _Terminal(looked_at)
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["solve", str(in_a_hurry)]) == 0
    text = terminal.getvalue()
    assert ("\x1b[" in text) == coloured
    plain = re.sub(r"\x1b\[[0-9;]*m", "", text)
    assert "\x1b" not in plain
    if coloured:  # each verdict's word, and nothing else, in its own colour
        build = Build.model_validate_json(in_a_hurry.read_bytes())
        words = re.findall(r"\x1b\[1;(\d+)m(\w+)\x1b\[0m", text)
        colours = {"CLEAR": "32", "CAUTION": "33", "HOLD": "31", "UNKNOWN": "36"}
        assert [word for _, word in words] == [
            solve(build).verdict.upper(), *(finding.verdict.upper() for finding in solve(build).findings)
        ]  # fmt: skip
        assert all(colours[word] == colour for colour, word in words)
    monkeypatch.setattr(sys, "stdout", _Terminal(looked_at=False))
    assert main(["solve", str(in_a_hurry)]) == 0
    assert isinstance(sys.stdout, _Terminal)
    assert sys.stdout.getvalue() == plain


def test_old_console_of_windows_gets_no_colour(in_a_hurry: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("WT_SESSION", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "platform", "win32")
    terminal = _Terminal(looked_at=True)
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["solve", str(in_a_hurry)]) == 0
    assert "\x1b" not in terminal.getvalue()


def test_a_name_that_no_file_can_have_is_said_to_be_that(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["a" * 5_000], ["solve", "a" * 5_000], ["solve", "a\0b"]):
        assert main(words) == 2
        assert "cannot be read" in complaint(capsys)


def test_letters_that_the_font_lacks_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "truck.json"
    path.write_text(
        '{"title": "$x$ 漢", "shocks": [{}, {"name": "字\\u001b"}], "powertrain": {"slope_deg": 3}}', encoding="utf-8"
    )
    for command, name in (("sheet", "out.pdf"), ("sketch", "out.svg"), ("sketch", "out.png"), ("sketch", "out.pdf")):
        assert main([command, str(path), "-o", str(tmp_path / name)]) == 0
        said = "Title, Shock 2: Name: the font of paper and pictures lacks 字 漢; a \ufffd stands for it there."
        assert complaint(capsys) == said
    path.write_text('{"title": "plain"}', encoding="utf-8")
    assert main(["sketch", str(path), "-o", str(tmp_path / "out.svg")]) == 0
    assert capsys.readouterr() == ("", "")


def test_a_file_name_cannot_steer_the_terminal_where_there_is_no_window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a\x1b[2J\nHOLD.json"
    path.write_text("{}", encoding="utf-8")
    monkeypatch.setattr("app.screen.trouble_with_window", lambda: "There is no screen.")
    assert main([str(path)]) == 0
    assert all(line.isprintable() for line in capsys.readouterr().out.split("\n"))
