"""`geometry` is pure: it imports neither the app nor Qt nor drawing nor scipy, not even inside a function.

And it flows one way: the document and the mechanics know nothing of each other, the judge joins them, words come last.
"""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import geometry
from geometry import Build

FOLDER = Path(geometry.__file__).parent
ALLOWED = {"geometry", "numpy", "pydantic", "shapely"}
BLOCKED = ("app", "PySide6", "matplotlib", "scipy")


def imported(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    return names


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.py")), ids=lambda path: path.relative_to(FOLDER).as_posix())
def test_imports_are_few(path: Path) -> None:
    assert imported(path) <= ALLOWED | set(sys.stdlib_module_names)


ROOMS = {
    "document": {"document"},
    "mechanics": {"mechanics"},
    "judge": {"document", "mechanics", "judge"},
    "words": {"document", "mechanics", "judge", "words"},
}
"""What each room may import of the package."""
NAME_ENTRIES = {"facts", "ride_facts", "line_facts", "kinds", "findings", "in_the_way", "ways", "search", "judging",
                "made", "ends", "states", "allowed", "brackets", "bracket_ways", "fitted", "flexible", "carried",
                "perches", "clamp", "square", "both"}  # fmt: skip
"""Modules of the judge that may name an entry of the document."""


def rooms_of(path: Path) -> set[str]:
    """Rooms of the package that a module imports from, relative imports too; a name of the package itself stays so."""
    found = set()
    package = ["geometry", *path.relative_to(FOLDER).parts[:-1]]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            head = ".".join([*package[: len(package) - node.level + 1], *([node.module] if node.module else [])])
            module = head if node.level else node.module or ""
            names = [f"{module}.{alias.name}" for alias in node.names]
        else:
            continue
        found |= {name.split(".")[1] for name in names if name.split(".")[0] == "geometry" and "." in name}
    return found


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.py")), ids=lambda path: path.relative_to(FOLDER).as_posix())
def test_rooms_flow_one_way(path: Path) -> None:
    room = path.relative_to(FOLDER).parts[0]
    if room == "__init__.py":
        return
    assert room in ROOMS, "a new room wants its place in the flow"
    assert rooms_of(path) <= ROOMS[room]


def words_in(path: Path) -> set[str]:
    """Texts of a module, without its docstrings and with `{...}` for what is put into them."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    plain = {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
    }
    formed = {
        "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
    }
    return plain | formed


SECTIONS = "|".join(name for name in Build.model_fields if name not in {"format", "title", "notes"})
ENTRY = re.compile(rf"({SECTIONS})\.[a-z{{]")


def test_what_names_an_entry_is_recognised() -> None:
    for text in ("plan.axle_shim_deg", "shaft.{}_joint.type", "obstacles.{}"):
        assert ENTRY.match(text)
    for text in ("axle", "geometry.judge", "the shaft. It"):
        assert not ENTRY.match(text)
    assert any(ENTRY.match(text) for text in words_in(FOLDER / "judge" / "facts.py"))


@pytest.mark.parametrize("path", sorted((FOLDER / "judge").glob("*.py")), ids=lambda path: path.stem)
def test_few_modules_of_the_judge_name_an_entry(path: Path) -> None:
    if path.stem not in NAME_ENTRIES:
        assert not [text for text in words_in(path) if ENTRY.match(text)]


@pytest.mark.parametrize("path", sorted((FOLDER / "mechanics").glob("*.py")), ids=lambda path: path.stem)
def test_the_mechanics_name_no_entry(path: Path) -> None:
    assert not [text for text in words_in(path) if ENTRY.match(text)]


def test_solves_where_nothing_else_can_be_imported() -> None:
    program = f"""
import sys
class Wall:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {BLOCKED!r}:
            raise ImportError(name)
sys.meta_path.insert(0, Wall())
from geometry import Build, edited, solve
build = edited(Build(), {{"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.5, "readings.shaft_slope_deg": 10.8}})
print(round(solve(build).joints[0].operating_deg, 6))
"""
    ran = subprocess.run(
        [sys.executable, "-c", program], cwd=FOLDER.parent, capture_output=True, text=True, check=False, timeout=60
    )
    assert (ran.returncode, ran.stdout.strip(), ran.stderr) == (0, "7.3", "")


def test_first_letters_are_changed_in_one_place() -> None:
    """By `small` and `capital`, which leave a U-bolt its capital; a `lower` of a whole title would take it too."""
    by_hand = re.compile(r"\[(?::1|0)\]\.(?:lower|upper)\(\)|\.capitalize\(\)|title(?:_of\(\w+\))?\.lower\(\)")
    found = [
        f"{path.name}: {line.strip()}"
        for folder in (FOLDER, FOLDER.parent / "app")
        for path in sorted(folder.rglob("*.py"))
        if path.name not in {"wording.py", "kinds.py"} or path.parent.name not in {"words", "papers"}
        for line in path.read_text(encoding="utf-8").splitlines()
        if by_hand.search(line)
    ]
    assert found == []


def test_nothing_waits_with_numpys_warnings_off() -> None:
    """What is let go of half way would turn them on in the midst of whatever is then worked out."""
    waiting = [
        f"{path.name}:{block.lineno}"
        for path in sorted(Path(geometry.__file__).parent.rglob("*.py"))
        for block in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(block, ast.With) and any("errstate" in ast.unparse(one) for one in block.items)
        for inner in ast.walk(block)
        if isinstance(inner, ast.Yield | ast.YieldFrom)
    ]
    assert waiting == []
