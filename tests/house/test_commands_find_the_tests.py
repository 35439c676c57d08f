"""What is run as a file finds our tests, and not those of a library that brings some of its own."""

import ast
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

TESTS = Path(__file__).parents[1]


def imports_tests_too_early(file: Path) -> bool:
    """Whether it asks for `tests` before its root stands first."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    for node in tree.body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "tests":
            return True
        if isinstance(node, ast.Expr) and ast.unparse(node).startswith("sys.path.insert"):
            return False
        if isinstance(node, ast.ImportFrom) and node.module == "bench_heat":
            return False  # which puts it there
    return False


def test_every_command_of_the_tests_finds_them_wherever_it_is_run() -> None:
    commands = [
        file
        for file in TESTS.rglob("*.py")
        if file.parent.name != "support"  # what a test starts is told where they are
        and 'if __name__ == "__main__"' in file.read_text(encoding="utf-8")
    ]
    assert len(commands) > 30
    assert [
        str(file.relative_to(TESTS)) for file in commands if imports_tests_too_early(file)
    ] == []


def test_no_command_is_called_like_a_library_that_another_looks_for() -> None:
    """Its folder stands before all libraries; numba asks for coverage, installed or not."""
    taken = {*packages_distributions(), *sys.stdlib_module_names, "coverage"}
    folders = [TESTS / name for name in ("bench", "faults", "golden", "published")]
    assert [file.name for one in folders for file in one.glob("*.py") if file.stem in taken] == []
