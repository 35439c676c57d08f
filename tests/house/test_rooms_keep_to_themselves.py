"""One room of queries, nothing private imported across, pages strangers to each other."""

import ast
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

from starlette.testclient import TestClient

ROOT = Path(__file__).parents[2]
PACKAGES = ("models", "service", "scheduler")
QUERIES = ("service/queries/", "service/store/migrations/")


def sources() -> list[Path]:
    return sorted(file for name in PACKAGES for file in (ROOT / name).rglob("*.py"))


def imported(file: Path) -> Iterator[tuple[int, str]]:
    """Line and dotted name of everything that a file imports."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, one.name) for one in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.lineno, f"{node.module}.{one.name}") for one in node.names)


def test_rows_are_sought_in_the_room_of_queries_only() -> None:
    found = []
    for file in sources():
        place = file.relative_to(ROOT).as_posix()
        if place.startswith(QUERIES):
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == "select":
                found.append(f"{place}:{node.lineno}")
    assert not found, "a query outside service/queries: " + ", ".join(found)


def test_what_is_named_private_is_imported_by_its_own_package_only() -> None:
    found = []
    for file in sources():
        package = ".".join(file.relative_to(ROOT).parent.parts) + "."
        for line, name in imported(file):
            parts = name.split(".")
            if parts[0] not in PACKAGES:
                continue
            for k, part in enumerate(parts):
                owner = ".".join(parts[:k]) + "."
                if part.startswith("_") and not part.startswith("__"):
                    if not package.startswith(owner):
                        found.append(f"{file.relative_to(ROOT)}:{line}: {name}")
                    break
    assert not found, "private names of other packages: " + ", ".join(found)


def test_a_reading_walks_through_few_rooms_and_hardly_climbs(
    client: TestClient, pour_id: int, loaded: Callable[[str], ModuleType]
) -> None:
    bench = loaded("bench/rooms.py")
    with bench.profiled() as walk:
        assert bench.walk_of_a_reading(client, walk, pour_id) == 303
    assert "service.actions.pours.record_reading" in walk.rooms
    assert not any(
        name.startswith(("models.planning", "models.simulation"))
        for name in walk.rooms
        if "scenario" not in name
    )
    # of which some are young: what was saved is said with its undo, the chips of its time, and
    # whose units and clock; by one every row is its shop's, and one tells the log of the request
    assert len(walk.service_rooms) <= 22, walk.service_rooms
    assert sum(walk.climbs.values()) <= 2, walk.climbs
