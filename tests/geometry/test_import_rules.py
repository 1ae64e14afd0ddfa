"""`geometry` is pure: it imports neither the app nor Qt nor drawing nor scipy, not even inside a function."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import geometry

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
