"""What a command loads: the headless ones stay light, and geometry stays free of screen and drawing.

Each is tried in a process of its own, as imports cannot be taken back.
"""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
BUSIEST = ROOT / "sample_builds" / "ranch_truck_swap.json"
HEAVY = ("PySide6", "shiboken6", "matplotlib", "scipy", "PIL", "hypothesis")


def loaded_by(code: str, *words: str) -> set[str]:
    """Top-level modules that are loaded after running some code."""
    ending = "\nimport json, sys\nprint('\\n' + json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", code + ending, *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=ROOT,
        check=True,
        timeout=120,
    )
    names: list[str] = json.loads(run.stdout.splitlines()[-1])
    return set(names)


@pytest.mark.parametrize("words", [["solve", "BUILD", "--json"], ["BUILD"]])
def test_headless_commands_load_neither_qt_nor_drawing(words: list[str], in_a_hurry: Path) -> None:
    code = "import os, sys; os.environ['QT_QPA_PLATFORM'] = 'offscreen'\nfrom app.commands import main\n"
    code += "assert main(sys.argv[1:]) == 0"
    found = loaded_by(code, *(str(in_a_hurry) if word == "BUILD" else word for word in words))
    assert "geometry" in found
    assert found.isdisjoint(HEAVY)


def test_solve_loads_nothing_that_only_other_commands_or_a_complaint_need() -> None:
    code = "import sys\nfrom app.commands import main\nassert main(['solve', sys.argv[1]]) == 0\n"
    code += "ours = {name for name in sys.modules if name.startswith('app.')}\n"
    code += "wanted = 'amounts bench cautions commands complaints files papers papers.kinds report setpoints units'\n"
    code += "assert ours == {'app.' + word for word in wanted.split()}, ours"
    assert loaded_by(code, str(BUSIEST)).isdisjoint({"difflib", "shlex"})


def test_a_drawing_loads_none_of_what_only_the_pages_over_a_range_need() -> None:
    code = "import os; os.environ['QT_QPA_PLATFORM'] = 'offscreen'\nimport sys\n"
    code += "import app.drawing.picture_files, app.drawing.wording\n"
    code += "assert not {f'geometry.words.{name}' for name in ('study', 'sure', 'plans')} & set(sys.modules)"
    assert "app" in loaded_by(code)


def test_command_is_run_without_a_search_for_garbage() -> None:
    """Counted by Python itself: not one collection from the first import to the last line, nor one on the way out."""
    code = "import gc, sys\nfrom app.__main__ import run\n"
    code += "sys.argv[1:] = ['solve', *sys.argv[1:]]\n"
    code += "counted = lambda: [generation['collections'] for generation in gc.get_stats()]\n"
    code += "gc.collect()\nbefore = counted()\nassert run() == 0\n"
    code += "assert counted() == before\nassert gc.get_freeze_count() > 0"
    assert "geometry" in loaded_by(code, str(BUSIEST))


def test_process_keeps_what_was_asked_of_libraries_and_asks_for_the_rest() -> None:
    code = (
        "import os, sys\nos.environ['OPENBLAS_NUM_THREADS'] = '3'\nos.environ.pop('PYDANTIC_DISABLE_PLUGINS', None)\n"
    )
    code += "from app.__main__ import run\nassert 'numpy' not in sys.modules\nsys.argv[1:] = ['schema']\n"
    code += "assert run() == 0\nassert os.environ['OPENBLAS_NUM_THREADS'] == '3'\n"
    code += "assert os.environ['PYDANTIC_DISABLE_PLUGINS'] == '__all__'"
    loaded_by(code)


def test_geometry_loads_neither_app_nor_qt_nor_drawing() -> None:
    code = "import geometry, pkgutil, importlib\n"
    code += "for module in pkgutil.walk_packages(geometry.__path__, 'geometry.'): importlib.import_module(module.name)"
    found = loaded_by(code)
    assert found.isdisjoint({"app", *HEAVY})


def test_module_runs_and_reports_its_exit_code(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "app", "solve", str(tmp_path / "none.json")],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=ROOT,
        check=False,
        timeout=120,
    )
    assert run.returncode == 2
    assert run.stdout == ""
    assert run.stderr == f"{tmp_path / 'none.json'}: cannot be read: there is no such file\n"


def test_nothing_of_the_program_or_its_tests_imports_matplotlib() -> None:
    """It is there for its font files alone, which are found without importing it."""
    for path in sorted([*ROOT.glob("app/**/*.py"), *ROOT.glob("geometry/**/*.py"), *ROOT.glob("tests/**/*.py")]):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not [one for one in names if one.partition(".")[0] == "matplotlib"], path


def test_drawing_and_window_load_no_matplotlib(tmp_path: Path) -> None:
    code = "import os, sys; os.environ['QT_QPA_PLATFORM'] = 'offscreen'\nfrom pathlib import Path\n"
    code += "from app.drawing.fonts import FAMILY, application, font\napplication()\n"
    code += "from PySide6.QtGui import QFontInfo\nassert QFontInfo(font()).family() == FAMILY\n"
    code += "from app.commands import main\n"
    code += "assert main(['sheet', sys.argv[1], '-o', sys.argv[2]]) == 0\nimport app.window.shell.main_window"
    assert loaded_by(code, str(BUSIEST), str(tmp_path / "sheet.pdf")).isdisjoint({"matplotlib", "scipy", "PIL"})
