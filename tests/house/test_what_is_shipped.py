"""The wheel holds everything that runs; what README says can be typed can be typed."""

import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.cli import app

ROOT = Path(__file__).parents[2]
PACKAGES = ("models", "service", "scheduler")


@pytest.fixture(scope="module")
def inside(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Names in a wheel built now."""
    folder = tmp_path_factory.mktemp("wheel")
    run = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(ROOT)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    (wheel,) = folder.glob("castclock-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def shipped() -> Iterator[str]:
    for package in PACKAGES:
        for file in (ROOT / package).rglob("*"):
            if file.is_file() and "__pycache__" not in file.parts and file.suffix != ".pyc":
                yield str(file.relative_to(ROOT))


def test_every_file_of_the_three_packages_is_in_the_wheel(inside: set[str]) -> None:
    files = set(shipped())
    assert len(files) > 100
    assert not files - inside


def test_templates_migrations_models_and_demo_ride_along(inside: set[str]) -> None:
    for pattern in (
        r"models/concrete/_heat_kernel\.py",
        r"models/records/pour\.py",
        r"service/store/migrations/versions/v0014\w*\.py",
        r"service/store/migrations/script\.py\.mako",
        r"service/pages/templates/.+\.html",
        r"service/pages/static/.+",
        r"service/demo_data/.+\.toml",
        r"scheduler/clock\.py",
        r"(models|service|scheduler)/py\.typed",
    ):
        assert any(re.fullmatch(pattern, name) for name in inside), pattern


def test_nothing_but_the_three_packages_is_in_the_wheel(inside: set[str]) -> None:
    tops = {name.split("/")[0] for name in inside}
    assert {t for t in tops if not t.endswith(".dist-info")} == set(PACKAGES)


def commands() -> set[str]:
    groups = {str(group.name) for group in app.registered_groups}
    return groups | {
        command.name or command.callback.__name__.replace("_", "-")
        for command in app.registered_commands
        if command.callback is not None
    }


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "deploy"])
def test_commands_that_are_printed_exist(page: str) -> None:
    place = ROOT / page
    texts = [place] if place.is_file() else [f for f in place.rglob("*") if f.is_file()]
    named = set()
    for file in texts:
        if file.suffix not in (".png", ".jpg", ".svg"):
            printed = file.read_text(encoding="utf-8")
            named |= set(re.findall(r"(?:bin/|`|^ {4})castclock ([a-z][a-z-]+)", printed, re.M))
    if page == "README.md":
        assert {"demo", "serve", "timeline", "pour-check", "backup"} <= named
    assert not named - commands()


def test_the_second_command_of_readme_passes_the_tests() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"(?:^ {4}.+\n)+", text, re.MULTILINE)
    assert "castclock demo" in blocks[0]
    assert "pytest" in blocks[1]


def test_modules_that_developers_are_sent_to_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"[`/]?([\w/]+\.py)\b", text))
    assert len(named) > 40
    there = [
        f"/{file.relative_to(ROOT)}"
        for top in (*PACKAGES, "tests")
        for file in (ROOT / top).rglob("*.py")
    ]
    assert not {name for name in named if not any(path.endswith(f"/{name}") for path in there)}


def test_files_that_readme_points_to_are_there() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for target in re.findall(r'\]\((?!http)([^)#]+)\)|src="([^"]+)"', text):
        name = target[0] or target[1]
        assert (ROOT / name).exists(), name
