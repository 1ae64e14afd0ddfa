"""The examples in the docstrings of `geometry` are run; every public function of its mechanics has one."""

import ast
import doctest
import importlib
from pathlib import Path

import numpy as np
import pytest

import geometry

FOLDER = Path(geometry.__file__).parent
PATHS = sorted(FOLDER.rglob("*.py"))


def module_name(path: Path) -> str:
    parts = path.relative_to(FOLDER.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = [module_name(path) for path in PATHS]


def examples_of(name: str) -> list[doctest.DocTest]:
    return [one for one in doctest.DocTestFinder().find(importlib.import_module(name), name) if one.examples]


@pytest.mark.parametrize("name", MODULES)
def test_examples_come_out_as_printed(name: str) -> None:
    said: list[str] = []
    runner = doctest.DocTestRunner()
    # As everywhere in the judge: what is not known is nan, and says so without a warning.
    with np.errstate(all="ignore"):
        for example in examples_of(name):
            runner.run(example, out=said.append)
    assert runner.failures == 0, "".join(said)
    assert runner.tries == sum(len(example.examples) for example in examples_of(name))


def test_there_are_examples_to_run() -> None:
    """Were none of them found, all of the above would pass."""
    assert sum(len(example.examples) for name in MODULES for example in examples_of(name)) > 100


def public_functions(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node.name for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]


@pytest.mark.parametrize(
    "path", [path for path in PATHS if path.parent.name == "mechanics"], ids=lambda path: path.stem
)
def test_every_public_function_of_the_mechanics_has_an_example(path: Path) -> None:
    name = module_name(path)
    shown = {one.name.removeprefix(f"{name}.") for one in examples_of(name)}
    assert [one for one in public_functions(path) if one not in shown] == []
