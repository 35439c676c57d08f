"""What can be typed or set stands in the documentation; what stands there can be typed or set."""

import re
import tomllib
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from typer.core import TyperCommand, TyperGroup, TyperOption
from typer.main import get_command
from typer.testing import CliRunner

from service import settings
from service.cli import app

ROOT = Path(__file__).parents[2]
PAGES = ("README.md", "DEVELOPERS.md", "CHANGELOG.md")
DOCS = (*PAGES, "deploy/upgrade.md", "deploy/backup.md", "deploy/sensor.md", "deploy/compose.yaml")
# read by the tests, not by the program
CHECKS_ONLY = {"CASTCLOCK_TEST_POSTGRES", "CASTCLOCK_WORDS_PREFIX"}
# read by the proxy and the database beside it
IN_COMPOSE = {"CASTCLOCK_HOSTNAME", "CASTCLOCK_DB_PASSWORD"}
PROGRAM = get_command(app)


def commands() -> dict[str, TyperCommand]:
    """By what is typed; those of a group with its name before theirs."""

    def walk(group: object, before: str) -> Iterator[tuple[str, TyperCommand]]:
        assert isinstance(group, TyperGroup)
        for name, command in group.commands.items():
            if isinstance(command, TyperCommand):
                yield before + name, command
            else:
                yield from walk(command, f"{before}{name} ")

    return dict(walk(PROGRAM, ""))


def options() -> Iterator[tuple[str, TyperOption]]:
    for name, command in (("", PROGRAM), *commands().items()):
        for option in command.params:
            if isinstance(option, TyperOption) and not option.hidden:
                yield name, option


@pytest.mark.parametrize("name", sorted(commands()))
def test_every_command_stands_in_the_readme(name: str) -> None:
    block = (ROOT / "README.md").read_text("utf-8").partition("## Commands")[2]
    listed = re.findall(r"^ {4}castclock (.+)$", block, re.M)
    assert any(re.search(rf"(^|, |`castclock ){name}\b", line) for line in listed)


def test_every_option_and_argument_says_what_it_is_for() -> None:
    runner = CliRunner()
    silent = [f"{name} {option.opts[0]}" for name, option in options() if not option.help]
    assert not silent
    for name, command in commands().items():
        assert command.help, name
        shown = runner.invoke(app, [*name.split(), "--help"], env={"COLUMNS": "200"}).output
        for option in (option for at, option in options() if at == name):
            assert option.opts[-1] in shown, f"{name} {option.opts}"


def test_every_setting_is_told_with_words_by_the_help_of_serve() -> None:
    shown = CliRunner().invoke(app, ["serve", "--help"], env={"COLUMNS": "200"}).output
    for name, _, _, words in settings.OPTIONS:
        assert words
        assert f"CASTCLOCK_{name.upper()}:" in shown


@pytest.mark.parametrize("page", DOCS)
def test_settings_and_options_that_documents_name_exist(page: str) -> None:
    text = (ROOT / page).read_text("utf-8")
    known = {f"CASTCLOCK_{name.upper()}" for name, *_ in settings.OPTIONS}
    named = set(re.findall(r"CASTCLOCK_[A-Z_]+[A-Z]", text))
    assert not named - known - CHECKS_ONLY - (IN_COMPOSE if page.startswith("deploy/") else set())
    typed = {
        option
        for line in re.findall(r"(?:^ {4}|`)castclock [^`\n]+", text, re.M)
        for option in re.findall(r"(?<=[ ;`])(--[a-z-]+)", line)
    }
    assert not typed - {opt for _, option in options() for opt in option.opts} - {"--help"}


def test_the_version_is_told_and_has_its_place_in_the_changelog() -> None:
    told = CliRunner().invoke(app, ["--version"]).output.split()
    assert told == ["castclock", version("castclock")]
    headings = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.M)
    assert headings[0] == "Unreleased"
    assert version("castclock") in headings


def test_the_lock_pins_all_that_is_needed_within_its_bounds() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    lines = (ROOT / "requirements.lock").read_text("utf-8").splitlines()
    pins = [Requirement(line) for line in lines if line and not line.startswith("#")]
    pinned = {canonicalize_name(pin.name): str(pin.specifier) for pin in pins}
    assert all(re.fullmatch(r"==[\w.]+", pin) for pin in pinned.values())
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    for need in map(Requirement, wanted):
        pin = pinned.get(canonicalize_name(need.name))
        assert pin is not None, need.name
        assert need.specifier.contains(pin.removeprefix("==")), need
