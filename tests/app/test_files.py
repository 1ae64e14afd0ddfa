"""Reading and writing build files: every wrong file gets one line, every right one comes back byte for byte.

What is right JSON is judged by Python's own `json` module and by RFC 8259 (from memory); what a file's permissions,
links and pipes are, by the operating system.
"""

import json
import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.commands import main
from app.files import LARGEST_BYTES, FileTrouble, build_text, put_in_place, read_build, write_build
from geometry import Build
from geometry.document.text import cleaned_line, cleaned_page

WRONG: dict[str, tuple[str | bytes, tuple[str, ...]]] = {
    "not JSON": ('{"axle":\n  oops}', ("not valid JSON", "line 2, column 3")),
    "a comma too many": ('{"axle": {"ratio": 3.73,}}', ("not valid JSON", "line 1")),
    "empty": ("", ("empty",)),
    "blank": (" \n\n", ("empty",)),
    "a list": ("[1, 2]", ("one object",)),
    "a lone number": ("3", ("one object",)),
    "not text": (b"\x89PNG\r\n\x1a\n\x00\xff", ("not UTF-8",)),
    "half a letter": (r'{"obstacles": [{"name": "a\ud800"}]}', ("obstacles.0.name: holds half a letter", r"\ud800")),
    "half a letter in UTF-8": (b'{"title": "\xed\xa0\x80"}', ("not UTF-8", "byte 12", "save it as UTF-8")),
    "UTF-16": ('{"title": "x"}'.encode("utf-16"), ("not UTF-8", "save it as UTF-8")),
    "UTF-16 without a mark": ('{"title": "x"}'.encode("utf-16-be"), ("not UTF-8", "zeros", "save it as UTF-8")),
    "UTF-32 without a mark": ('{"title": "x"}'.encode("utf-32-le"), ("not UTF-8", "zeros")),
    "Latin letters of one byte": ('{"title": "é"}'.encode("latin-1"), ("not UTF-8", "byte 12", "save it as UTF-8")),
    "two marks of byte order": ("\ufeff\ufeff{}".encode(), ("not valid JSON",)),
    "nothing but zeros": (b"\0" * 9, ("zeros",)),
    "nothing but spaces": (b" " * 3_900_000, ("is empty",)),
    "spaces without end": (b" " * 10_000_000, ("larger than 4 MB",)),
    "too deep": ('{"notes": ' + "[" * 100_000 + "]" * 100_000 + "}", ("nested too deeply",)),
    "deep": ('{"notes": ' + "[" * 500 + "]" * 500 + "}", ("nested too deeply",)),
    "digits without end": ('{"axle": {"ratio": ' + "9" * 6_000 + "}}", ("too many digits",)),
    "format of 400 digits": ('{"format": ' + "9" * 400 + "}", ("format (Format): 99999", "…", "newer version")),
    "format of less than nothing": ('{"format": -' + "9" * 400 + "}", ("format (Format)", "must be 1", "…")),
    "format beyond any number": ('{"format": 1e400}', ("format (Format)", "must be 1", "Infinity")),
    "format that is no number": ('{"format": NaN}', ("format (Format)", "must be 1")),
    "a name without end": ('{"axle": {"' + "a" * 100_000 + '": 1}}', ("axle.aaaa", "…: is not an entry")),
    "a name twice without end": ("{" + ('"' + "a" * 50_000 + '": 1,') * 2 + '"b": 1}', ("aaaa", "twice")),
    "text without end": ('{"title": "' + "a" * 3_000_000 + '"}', ("title (Title)", "at most 200", "Shorten")),
    "too many ratios": ('{"powertrain": {"gear_ratios": [' + "3,1," * 400 + "1]}}", ("powertrain.gear_ratios",)),
    "31 ratios": (
        '{"powertrain": {"gear_ratios": [' + ",".join(str(29 - i / 2) for i in range(31)) + "]}}",
        ("powertrain.gear_ratios (Gear ratios, first to top)", "at most 30 items", "31"),
    ),
    "a list without end": (
        '{"obstacles": [{"outline_mm": [' + "[]," * 1_000_000 + "[]]}]}",
        ("obstacles.0.outline_mm: has 1000001 items", "remove some"),
    ),
    "entries without end": (
        '{"axle": {' + ",".join(f'"a{i}": 1' for i in range(200_000)) + "}}",
        ("axle: has 200000 entries", "remove some"),
    ),
    "newer format": ('{"format": 2, "wings": 4}', ("format", "newer version", "left untouched")),
    "format as text": ('{"format": "1"}', ("format", 'this is "1"')),
    "format nought": ('{"format": 0}', ("format", "must be 1")),
    "format true": ('{"format": true}', ("format", "this is true")),
    "unknown key": ('{"axle": {"ratoi": 3.73}}', ("axle.ratoi", "did you mean ratio?")),
    "unknown section": ('{"axel": {}}', ("axel", "did you mean axle?")),
    "key twice": ('{"axle": {"ratio": 3.73, "ratio": 4.1}}', ("axle.ratio", "twice")),
    "key twice in a list": ('{"shocks": [{}, {"name": "a", "name": "b"}]}', ("shocks.1.name", "twice")),
    "NaN": ('{"powertrain": {"slope_deg": NaN}}', ("powertrain.slope_deg (Output slope)", "finite")),
    "infinity": ('{"powertrain": {"slope_deg": -Infinity}}', ("powertrain.slope_deg (Output slope)", "finite")),
    "beyond any double": ('{"vehicle": {"wheelbase_mm": 1e999}}', ("vehicle.wheelbase_mm (Wheelbase)", "finite")),
    "text for a number": ('{"axle": {"ratio": "3.73"}}', ("axle.ratio (Axle ratio)", "quotation marks", '"3.73"')),
    "truth for a number": ('{"axle": {"ratio": true}}', ("axle.ratio (Axle ratio)", "must be a number")),
    "cut off": ('{"title": "half a na', ("unterminated string starting at line 1",)),
    "too small": ('{"axle": {"ratio": -3}}', ("axle.ratio (Axle ratio)", "more than 0.5 and at most 30", "this is -3")),
    "too far": (
        '{"axle": {"centre_mm": [2946, 0, 1e6]}}',
        ("axle.centre_mm.2 (Axle centre, up)", "from -20000 to 20000 mm"),
    ),
    "too steep": ('{"axle": {"pinion_slope_deg": 90}}', ("axle.pinion_slope_deg (Pinion slope)", "from -60 to 60°")),
    "two numbers for a point": ('{"axle": {"centre_mm": [2946, 0]}}', ("axle.centre_mm (Axle centre)", "3 numbers")),
    "wrong kind": ('{"suspension": {"kind": "air"}}', ("suspension.kind", '"leaf" or "links"', '"air"')),
    "no kind": ('{"shaft": {}}', ("shaft.kind", '"one_piece" or "two_piece"')),
    "section of the other kind": (
        '{"suspension": {"kind": "links", "front_half_mm": 660}}',
        ("suspension.front_half_mm", "not an entry"),
    ),
    "impossible together": (
        '{"shaft": {"kind": "one_piece", "tube": {"outer_diameter_mm": 50, "wall_mm": 25}}}',
        ("shaft.tube.wall_mm (Tube wall)", "outer_diameter_mm"),
    ),
    "a line break in a name": ('{"a\\nb": 1}', (r"a\nb",)),
    "a terminal's escape in a name": ('{"\\u001b[31m": 1}', (r"\x1b[31m",)),
}


@pytest.mark.parametrize(("content", "words"), WRONG.values(), ids=WRONG.keys())
def test_wrong_file_is_one_line_with_file_and_field(
    content: str | bytes, words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "truck.json"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    before = path.read_bytes()

    assert main(["solve", str(path)]) == 2

    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"{path}: ")
    assert err.count("\n") == 1
    assert err.endswith("\n")
    assert all(word in err for word in words), err
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["NaN", "newer format", "not JSON"])
@pytest.mark.parametrize("command", ["sheet", "sketch"])
def test_wrong_file_touches_no_output(
    name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, there, new = tmp_path / "truck.json", tmp_path / "there.pdf", tmp_path / "new.pdf"
    path.write_text(str(WRONG[name][0]), encoding="utf-8")
    there.write_bytes(b"of last week")

    for output in (there, new):
        assert main([command, str(path), "-o", str(output)]) == 2
        assert capsys.readouterr().err.count("\n") == 1

    assert there.read_bytes() == b"of last week"
    assert sorted(item.name for item in tmp_path.iterdir()) == ["there.pdf", "truck.json"]


def _missing(_: Path) -> None:
    pass


def _folder(path: Path) -> None:
    path.mkdir()


def _sparse(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(100_000_000)


def _device(path: Path) -> None:
    path.symlink_to("/dev/zero")  # which never ends


def _pipe(path: Path) -> None:
    os.mkfifo(path)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_missing, "there is no such file"),
        (_folder, "is a folder"),
        (_sparse, "larger than 4 MB"),
        pytest.param(
            _device,
            "is a device or pipe",
            marks=pytest.mark.skipif(sys.platform == "win32", reason="no devices in a folder"),
        ),
        pytest.param(
            _pipe,
            "device or pipe",
            marks=pytest.mark.skipif(sys.platform == "win32", reason="no named pipes in a folder"),
        ),
    ],
)
def test_what_is_no_build_file_is_refused_without_reading(
    make: Callable[[Path], None], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "truck.json"
    make(path)
    if make is not _missing:  # a pipe would block whoever opens it, and a large file fill the memory
        monkeypatch.setattr(Path, "open", lambda *_, **__: pytest.fail("was opened"))
    with pytest.raises(FileTrouble, match=words):
        read_build(path)


def test_no_permission_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "truck.json"
    path.write_text("{}", encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)  # permission bits do not bind root, who runs this in many places
    with pytest.raises(FileTrouble, match="cannot be read: permission is refused"):
        read_build(path)


def test_name_that_no_file_can_have(tmp_path: Path) -> None:
    for act in (read_build, lambda path: write_build(path, Build())):
        with pytest.raises(FileTrouble) as trouble:
            act(tmp_path / "a\0b")
        assert "\0" not in str(trouble.value)


def test_file_that_grows_while_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "truck.json"
    path.write_bytes(b" " * (LARGEST_BYTES + 1))
    small = os.stat_result((stat.S_IFREG | 0o644, 0, 0, 1, 0, 0, 10, 0, 0, 0))
    monkeypatch.setattr(Path, "stat", lambda _, **__: small)
    with pytest.raises(FileTrouble, match="larger than 4 MB"):
        read_build(path)


def test_mark_before_the_first_letter_is_no_trouble(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    path.write_bytes(b"\xef\xbb\xbf" + b'{"title": "from an editor"}')
    assert read_build(path).title == "from an editor"


def test_canonical_text() -> None:
    build = Build.model_validate_json(
        '{"plan": {"rear_lift_mm": 50}, "title": "Größe 3½\\"", "gauge": {},'
        ' "powertrain": {"gear_ratios": [3, 1.5, 1]},'
        ' "obstacles": [{"name": "tank", "outline_mm": [[1, 2], [3, 4], [5, 6.5]]}], "format": 1}'
    )
    assert build_text(build) == (
        "{\n"
        '  "format": 1,\n'
        '  "title": "Größe 3½\\"",\n'
        '  "display": {\n'
        '    "length": "inch",\n'
        '    "torque": "pound_foot"\n'
        "  },\n"
        '  "gauge": {},\n'
        '  "powertrain": {\n'
        '    "gear_ratios": [3.0, 1.5, 1.0]\n'
        "  },\n"
        '  "obstacles": [\n'
        "    {\n"
        '      "name": "tank",\n'
        '      "view": "side",\n'
        '      "outline_mm": [\n'
        "        [1.0, 2.0],\n"
        "        [3.0, 4.0],\n"
        "        [5.0, 6.5]\n"
        "      ],\n"
        '      "carried_by": "frame"\n'
        "    }\n"
        "  ],\n"
        '  "plan": {\n'
        '    "rear_lift_mm": 50.0,\n'
        '    "rear_lift_by": "spring",\n'
        '    "front_lift_by": "spring",\n'
        '    "perches": "welded",\n'
        '    "mounts": "fixed"\n'
        "  }\n"
        "}\n"
    )


_COORDINATES = st.floats(-20_000, 20_000)
_POINTS = st.lists(_COORDINATES, min_size=3, max_size=3)
_BUILDS = st.fixed_dictionaries(
    {},
    optional={
        "title": st.text(max_size=30),
        "notes": st.text(max_size=60),
        "powertrain": st.fixed_dictionaries({}, optional={"output_joint_mm": _POINTS, "slope_deg": st.floats(-60, 60)}),
        "axle": st.fixed_dictionaries({"end": st.sampled_from(["rear", "front"])}, optional={"centre_mm": _POINTS}),
        "suspension": st.fixed_dictionaries(
            {"kind": st.just("leaf")}, optional={"front_eye_mm": st.lists(_COORDINATES, min_size=2, max_size=2)}
        ),
        "obstacles": st.lists(
            st.fixed_dictionaries(
                {"outline_mm": st.lists(st.lists(_COORDINATES, min_size=2, max_size=2), min_size=3, max_size=5)}
            ),
            max_size=3,
        ),
    },
)


@given(_BUILDS)
def test_text_reads_back_as_the_same_build_and_the_same_text(tree: dict[str, object]) -> None:
    build = Build.model_validate_json(json.dumps(tree))
    text = build_text(build)
    again = Build.model_validate_json(text)
    assert again == build
    assert build_text(again) == text
    # Python's json module finds in the text what was put in, less what is empty
    found = json.loads(text)
    for key, value in tree.items():
        if value in ("", []):
            assert key not in found
        elif isinstance(value, str):
            assert found.get(key, "") == (cleaned_line(value) if key == "title" else cleaned_page(value))
        elif isinstance(value, dict):
            assert value.items() <= found[key].items()


@pytest.mark.parametrize("text", ["{}", '{"axle": {"centre_mm": [2946, -0.0, 1e-300]}}'])
def test_open_and_save_is_byte_stable(text: str, tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    path.write_text(text, encoding="utf-8")
    write_build(path, read_build(path))
    first = path.read_bytes()
    write_build(path, read_build(path))
    assert path.read_bytes() == first
    assert first.endswith(b"}\n")
    assert b"\r" not in first


def test_samples_are_as_the_program_writes_them(sample_path: Path) -> None:
    assert sample_path.read_text(encoding="utf-8") == build_text(read_build(sample_path))


def test_newer_file_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    path.write_text('{"format": 3, "wings": 2}', encoding="utf-8")
    with pytest.raises(FileTrouble, match="newer version") as trouble:
        write_build(path, Build())
    assert str(path) in str(trouble.value)
    assert path.read_text(encoding="utf-8") == '{"format": 3, "wings": 2}'


def test_what_cannot_be_a_build_file_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    _sparse(path)
    with pytest.raises(FileTrouble, match="larger than 4 MB"):
        write_build(path, Build())
    assert path.stat().st_size == 100_000_000


def test_broken_file_may_be_replaced(tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    path.write_text("{", encoding="utf-8")
    write_build(path, Build(title="sound"))
    assert read_build(path).title == "sound"


@pytest.mark.skipif(sys.platform == "win32", reason="permission bits of Unix")
def test_saving_keeps_permissions_and_links(tmp_path: Path) -> None:
    real, link, new = tmp_path / "real.json", tmp_path / "link.json", tmp_path / "new.json"
    real.write_text("{}", encoding="utf-8")
    real.chmod(0o640)
    link.symlink_to(real)
    before = os.umask(0o027)
    try:
        write_build(link, Build(title="through the link"))
        write_build(new, Build())
    finally:
        os.umask(before)
    assert link.is_symlink()
    assert read_build(real).title == "through the link"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert stat.S_IMODE(new.stat().st_mode) == 0o640  # 666 less the mask, as for any new file


@pytest.mark.parametrize("step", ["write_bytes", "replace"])
def test_failure_on_the_way_leaves_the_old_file_whole(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "truck.json"
    write_build(path, Build(title="old"))
    old = path.read_bytes()

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(Path, step, fail)
        with pytest.raises(FileTrouble, match="no space left"):
            write_build(path, Build(title="new"))
    assert path.read_bytes() == old
    assert list(tmp_path.iterdir()) == [path]


def test_other_errors_pass_through_and_leave_nothing(tmp_path: Path) -> None:
    def draw_half() -> None:
        with put_in_place(tmp_path / "sheet.pdf") as draft:
            draft.write_bytes(b"half a sh")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        draw_half()
    assert list(tmp_path.iterdir()) == []


def test_places_that_take_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "folder.json").mkdir()
    (tmp_path / "kept.json").write_text("{}", encoding="utf-8")
    with pytest.raises(FileTrouble, match="is a folder"):
        write_build(tmp_path / "folder.json", Build())
    with pytest.raises(FileTrouble, match="there is no folder"):
        write_build(tmp_path / "nowhere" / "truck.json", Build())
    monkeypatch.setattr("app.files.access", lambda *_: False)  # what the system says of a write-protected file
    with pytest.raises(FileTrouble, match="write-protected"):
        write_build(tmp_path / "kept.json", Build())
    assert (tmp_path / "kept.json").read_text(encoding="utf-8") == "{}"
