"""Rules 2, 3, 8, 10: floors hold, tables do not compute, time and settings enter by the door."""

import ast
import inspect
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlmodel import SQLModel

import models.records as records
import tests

ROOT = Path(__file__).parents[2]
PACKAGES = ("models", "service", "scheduler")


def sources(*packages: str) -> list[Path]:
    return sorted(file for name in packages for file in (ROOT / name).rglob("*.py"))


def calls(file: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            yield node


def said(node: ast.AST) -> str:
    return ast.unparse(node)


def where(file: Path, node: ast.expr) -> str:
    return f"{file.relative_to(ROOT)}:{node.lineno}: {said(node)}"


def test_imports_keep_to_the_floors() -> None:
    run = subprocess.run(
        [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr


def test_every_table_lives_with_the_records_and_has_no_public_method() -> None:
    mappers = list(SQLModel._sa_registry.mappers)
    assert len(mappers) >= 12
    assert {mapper.class_.__name__ for mapper in mappers} <= vars(records).keys()
    for mapper in mappers:
        table = mapper.class_
        assert table.__module__.startswith("models.records."), table
        computes = [
            name
            for name, member in vars(table).items()
            if not name.startswith("_")
            and (inspect.isfunction(member) or isinstance(member, property | classmethod))
        ]
        assert not computes, f"{table.__name__} computes: {computes}"


def test_science_never_asks_the_clock() -> None:
    asked = [
        where(file, call)
        for file in sources("models")
        for call in calls(file)
        if said(call.func).endswith((".now", ".utcnow", ".today", "time.time", "monotonic"))
    ]
    assert not asked


def test_nobody_takes_a_naive_now() -> None:
    naive = [
        where(file, call)
        for file in sources("service", "scheduler")
        for call in calls(file)
        if said(call.func).endswith((".utcnow", ".utcfromtimestamp", "datetime.today"))
        or (said(call.func).endswith("datetime.now") and not (call.args or call.keywords))
    ]
    assert not naive


def test_only_the_store_commits() -> None:
    commits = [
        where(file, call)
        for file in sources(*PACKAGES)
        for call in calls(file)
        if isinstance(call.func, ast.Attribute)
        and call.func.attr == "commit"
        and file != ROOT / "service" / "store.py"
    ]
    assert not commits


def test_only_the_root_and_the_settings_read_the_environment() -> None:
    allowed = {ROOT / "service" / "cli" / "__init__.py", ROOT / "service" / "settings.py"}
    allowed.add(ROOT / "models" / "_jit.py")  # numba's own variables, which numba reads so too
    readers = [
        f"{file.relative_to(ROOT)}:{node.lineno}"
        for file in sources(*PACKAGES)
        if file not in allowed
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in ("environ", "getenv", "environb")
    ]
    assert not readers


CATCHES_ALL = {  # where one thing's fault must not become another's; each logs or raises it again
    "models/_jit.py": "what fails in the rooms of another numba is run by that itself",
    "service/request_context.py": "a pour that is stored is answered for though its windows fail",
    "service/actions/windows/project_pour.py": "a pour of a batch that fails is told to the clock",
    "service/weather/chain.py": "a service whose answer breaks the reader gives way to the next",
    "service/weather/deadline.py": "what an attempt raised in its thread is raised where it counts",
    "service/notify/relay.py": "what a send raised in its thread is raised where it was asked for",
}


def test_only_the_clocks_loop_and_few_named_places_catch_everything() -> None:
    broad = [
        f"{file.relative_to(ROOT)}:{node.lineno}"
        for file in sources(*PACKAGES)
        if file.parent.name != "scheduler" and str(file.relative_to(ROOT)) not in CATCHES_ALL
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ExceptHandler)
        and (node.type is None or said(node.type) in ("Exception", "BaseException"))
    ]
    assert not broad


def test_imports_stand_at_the_top_but_in_the_root() -> None:
    hidden = [
        f"{file.relative_to(ROOT)}:{inner.lineno}"
        for file in sources(*PACKAGES)
        if file.parent != ROOT / "service" / "cli"
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]
    assert not hidden


@pytest.mark.parametrize(
    "name", ["utils", "helpers", "common", "core", "schemas", "models", "misc"]
)
def test_no_file_has_a_name_that_says_nothing(name: str) -> None:
    found = [file for file in sources(*PACKAGES, "tests") if file.stem == name]
    assert not found


def test_test_folders_do_not_shadow_the_packages() -> None:
    folders = [folder for folder in (ROOT / "tests").rglob("*") if folder.is_dir()]
    assert not [f for f in folders if f.name in PACKAGES]
    assert Path(tests.__file__).is_relative_to(ROOT), "a dependency's package of this name"


@pytest.mark.parametrize("package", [*PACKAGES, "tests"])
def test_no_file_holds_two_topics(package: str) -> None:
    """Over 400 lines there are two; a migration is written once and never grows."""
    long = {
        str(file.relative_to(ROOT)): lines
        for file in sources(package)
        if "versions" not in file.parts
        and (lines := len(file.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert not long
