"""What `castclock timeline` and `castclock pour-check` say, as a table and as JSON."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from models.errors import InputError
from models.message import Message
from service import cli, machine, scenario_file
from tests.support import command
from tests.support.raw import JsonDict
from tests.support.words import said, tells

DATA = Path(cli.__file__).parents[1] / "demo_data"
HERON = DATA / "heron-bench.toml"
COMMAND = Path(sys.executable).with_name("castclock")
STATES = {"not yet", "open", "closing", "past", "done", "blocked"}


def castclock(*arguments: str | Path) -> str:
    """What the command printed."""
    ended = command.castclock(*arguments)
    assert ended.code == 0, ended.err
    assert ended.err == ""
    return ended.out


@pytest.fixture(scope="module")
def timeline() -> JsonDict:
    answer: dict[str, Any] = json.loads(castclock("timeline", HERON, "--json"))
    return answer


@pytest.fixture(scope="module")
def pour_check() -> JsonDict:
    answer: dict[str, Any] = json.loads(castclock("pour-check", HERON, "--json"))
    return answer


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same pour without a word about the weather."""
    file = tmp_path_factory.mktemp("bare") / "heron.toml"
    file.write_text(HERON.read_text(encoding="utf-8").partition("[weather]")[0], encoding="utf-8")
    return file


def with_offset(text: str | None) -> None:
    assert text is None or datetime.fromisoformat(text).utcoffset() is not None


def test_timeline_json_has_the_keys_of_the_contract(timeline: JsonDict) -> None:
    assert set(timeline) >= {"pour", "concrete", "steps", "warnings"}
    hours = len(timeline["concrete"]["time"])
    for name in ("mean_C", "coldest_C", "equivalent_age_h", "ttf_C_h", "strength_MPa", "pore_rh"):
        bands = timeline["concrete"][name]
        assert set(bands) == {"p10", "p50", "p90"}
        assert {len(values) for values in bands.values()} == {hours}
    for step in timeline["steps"]:
        assert set(step) >= {
            "step",
            "state",
            "earliest",
            "latest",
            "need",
            "because",
            "earlier_if",
            "cautions",
            "sources",
        }
        assert step["state"] in STATES
        assert set(step["earliest"]) == {"p50", "p90", "safe"}
        assert set(step["need"]) >= {"quantity", "value", "unit"}
        assert step["because"]
        for text in (*step["earliest"].values(), step["latest"]):
            with_offset(text)


def test_timeline_names_every_step_of_a_panel_in_the_order_of_the_trade(
    timeline: JsonDict,
) -> None:
    names = [step["step"] for step in timeline["steps"]]
    wanted = ["finish", "cover", "strip", "turn", "end-wet-cure", "uncover", "sand", "hone"]
    assert [name for name in names if name in wanted] == wanted
    assert "coat-1" in names
    after = ["rain-safe", "light-use", "full-use", "first-heating", "de-icing", "reseal"]
    assert names[-6:] == after


def test_a_step_that_is_never_reached_is_null_and_says_what_stands_in_the_way(
    timeline: JsonDict,
) -> None:
    never = [s for s in timeline["steps"] if s["earliest"]["p90"] is None and s["state"] != "done"]
    assert never
    assert all(step["because"] for step in never)


def test_the_timeline_reads_within_a_hundred_columns_in_the_clock_of_the_place() -> None:
    text = castclock("timeline", HERON, "--all")
    assert max(len(line) for line in text.splitlines()) <= 100
    assert tells(text, "print_to_pour", timezone="America/Chicago") or tells(
        text, "print_poured", timezone="America/Chicago"
    )
    assert "Wed 14 Oct 2026 18:00" in text
    titles = (said("print_warnings"), said("print_cautions"))
    for word in ("probably from", "safe from (9 in 10)", "latest", *titles, "strip"):
        assert word in text


def test_a_later_now_is_believed_over_the_scenario() -> None:
    text = castclock("timeline", HERON, "--now", "2026-10-15T07:00-05:00")
    assert tells(text, "print_asked", at_shown="Thu 15 Oct 2026 07:00")
    assert tells(text, "print_poured", at_shown="Wed 14 Oct 19:00 -12 h")


def test_another_weather_file_gives_other_windows(timeline: JsonDict, tmp_path: Path) -> None:
    warm = tmp_path / "warm.csv"
    head, *rows = (DATA / "heron-bench.csv").read_text(encoding="utf-8").splitlines()
    cells = [row.split(",") for row in rows]
    lines = [",".join([row[0], f"{float(row[1]) + 12:.1f}", *row[2:]]) for row in cells]
    warm.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    other = json.loads(castclock("timeline", HERON, "--json", "--weather", warm))
    assert earliest(other, "strip") < earliest(timeline, "strip")


def earliest(answer: JsonDict, name: str) -> datetime:
    step = next(step for step in answer["steps"] if step["step"] == name)
    return datetime.fromisoformat(step["earliest"]["p90"])


def test_a_typed_night_low_and_day_high_give_an_answer(bare: Path) -> None:
    typed = bare.with_name("typed.toml")
    weather = '[weather]\nnight_low_C = "41 F"\nday_high_C = 14\ndays = 10\n'
    typed.write_text(bare.read_text(encoding="utf-8") + weather, encoding="utf-8")
    answer = json.loads(castclock("timeline", typed, "--json"))
    assert earliest(answer, "strip") > datetime.fromisoformat("2026-10-14T19:00-05:00")
    assert "typed by hand: night 5 °C, day 14 °C" in castclock("timeline", typed)


def test_without_weather_every_step_is_blocked_and_says_so(bare: Path) -> None:
    answer = json.loads(castclock("timeline", bare, "--json"))
    assert answer["steps"]
    for step in answer["steps"]:
        assert step["state"] == "blocked", step["step"]
        assert step["earliest"] == {"p50": None, "p90": None, "safe": None}
        assert "weather" in step["because"]


def test_without_weather_the_answer_to_pouring_is_wait(bare: Path) -> None:
    answer = json.loads(castclock("pour-check", bare, "--json"))
    assert answer["answer_code"]["code"] == "wait"
    assert answer["wait_until"] is None
    assert "weather" in answer["because"]
    assert said("print_answer", answer=Message("wait")) in castclock("pour-check", bare)


def test_weather_that_ends_before_the_first_night_blocks_and_names_the_missing_hours(
    bare: Path,
) -> None:
    short = bare.with_name("short.csv")
    lines = (DATA / "heron-bench.csv").read_text(encoding="utf-8").splitlines()
    kept = [lines[0], *(line for line in lines[1:] if line < "2026-10-14T21")]
    short.write_text("\n".join(kept) + "\n", encoding="utf-8")
    for question in ("timeline", "pour-check"):
        answer = json.loads(castclock(question, bare, "--json", "--weather", short))
        if question == "timeline":
            strip = next(step for step in answer["steps"] if step["step"] == "strip")
            assert strip["state"] == "blocked"
            because = strip["because"]
        else:
            assert answer["answer_code"]["code"] == "wait"
            because = answer["because"]
        assert "21:00" in because or "2026-10-15T02:00" in because, because


def test_json_names_what_was_assumed_by_the_key_that_would_tell_it(
    timeline: JsonDict, pour_check: JsonDict
) -> None:
    assert timeline["assumed"] == pour_check["assumed"]
    heron = tomllib.loads(HERON.read_text(encoding="utf-8"))
    keys = {
        "place": {*scenario_file.PLACE},
        "mix": {*scenario_file.MIX, "strength"},
        "sealer": {*scenario_file.SEALER},
        "shop": {"protection"},
    }
    for one in timeline["assumed"]:
        noun, key = one.split(".")
        assert key in keys[noun]
        assert key not in heron.get(noun, {})
    assert "mix.water_cement" in timeline["assumed"]


def test_pour_check_json_has_the_keys_of_the_contract(pour_check: JsonDict) -> None:
    assert set(pour_check) == {
        "answer",
        "assumed",
        "wait_until",
        "because",
        "warnings",
        "notes",
        "options",
        "cautions",
        "sources",
        "answer_code",
        "reasons",
        "caution_codes",
    }
    assert pour_check["answer_code"]["code"] in ("pour", "pour_under", "wait")
    assert pour_check["options"]
    for option in pour_check["options"]:
        assert set(option) == {
            "start",
            "protection",
            "passes",
            "risks",
            "strip_p90",
            "turn_p90",
            "effort",
            "cautions",
            "indoors",
            "excess",
            "frost_chance",
            "lowest_C",
            "heat_from",
            "protection_code",
            "caution_codes",
        }
        for text in (option["start"], option["strip_p90"], option["turn_p90"]):
            with_offset(text)
        for risk in option["risks"]:
            assert set(risk) == {"risk", "code", "probability", "value", "limit", "unit", "allowed"}


def test_pour_check_on_a_frosty_evening_does_not_say_pour_uncovered(
    pour_check: JsonDict,
) -> None:
    assert pour_check["answer_code"]["code"] != "pour"
    first = pour_check["options"][0]["start"]
    bare_start = [
        option
        for option in pour_check["options"]
        if option["start"] == first and option["protection"] in ("", "none", "no cover")
    ]
    assert not any(option["passes"] for option in bare_start)


def test_pour_check_reads_within_a_hundred_columns_with_the_answer_first() -> None:
    text = castclock("pour-check", HERON, "--all")
    assert max(len(line) for line in text.splitlines()) <= 100
    assert text.index(said("print_answer", answer="")) < text.index("protection")
    assert tells(text, "print_coldest")
    assert tells(text, "print_ready", step_key="turn")


def test_a_program_without_a_home_still_answers(tmp_path: Path, bare: Path) -> None:
    """Compiled code finds a folder of its own when neither home nor cache can be written."""
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    home = {"HOME": str(blocked), "XDG_CACHE_HOME": str(blocked / "cache")}
    environment = {name: text for name, text in os.environ.items() if name != machine.CACHE}
    environment["TMPDIR"] = str(tmp_path)
    kept = tmp_path / f"castclock-numba-{os.geteuid()}"  # by a run before: compiled once
    shutil.copytree(os.environ[machine.CACHE], kept)
    kept.chmod(0o700)
    ended = subprocess.run(
        [COMMAND, "timeline", bare], capture_output=True, text=True, env=environment | home
    )
    assert (ended.returncode, ended.stderr) == (0, "")
    assert "strip" in ended.stdout
    assert {one.name for one in tmp_path.iterdir()} == {"file", kept.name}

    machine.keep_compiled_code(home, machine.user_cache(home))
    found = Path(home[machine.CACHE])
    assert not found.is_relative_to(blocked)
    (found / "written").write_bytes(b"compiled")


def test_compiled_code_in_a_folder_that_others_may_write_is_never_run(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    laid = tmp_path / f"castclock-numba-{os.geteuid()}"
    laid.mkdir()
    laid.chmod(0o777)
    environ: dict[str, str] = {}
    machine.keep_compiled_code(environ, Path("/dev/null/nowhere"))
    assert Path(environ[machine.CACHE]).parent == tmp_path
    assert Path(environ[machine.CACHE]) != laid


def test_another_distribution_that_claims_our_package_names_is_refused_by_name(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for owner, holds in (
        ("castclock-0.2.0", "scheduler/clock.py,sha256=a,1\nmodels/units.py,sha256=b,1\n"),
        ("some_models-3", "some_models/scheduler/b.py,sha256=c,1\n"),
        ("some_timer-1.4", "another/a.py,sha256=d,1\nscheduler/__init__.py,sha256=e,0\n"),
    ):
        (tmp_path / f"{owner}.dist-info").mkdir()
        (tmp_path / f"{owner}.dist-info/RECORD").write_text(holds)
    monkeypatch.setattr(machine, "HERE", tmp_path)
    monkeypatch.setattr(sys, "argv", ["castclock", "timeline", str(HERON)])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    assert ended.value.code == 2
    assert "package scheduler = 'some_timer'" in capsys.readouterr().err


def test_help_loads_nothing_of_the_science() -> None:
    asked = "import sys; from service import cli; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True)
    assert loaded.returncode == 0
    assert {"numpy", "numba", "sqlmodel", "fastapi"}.isdisjoint(loaded.stdout.split())


def test_kernels_that_are_compiled_run_without_the_compiler() -> None:
    """Numba takes longer to load than most of an answer, and scipy, which it looks for, as well."""
    asked = (
        "import sys; from pathlib import Path; from service.cli import inputs;"
        "from models.planning.timeline import project;"
        "file, air, now = inputs.read(Path(sys.argv[1]), None, '', None);"
        "project(file.scenario, air, now); print(*sys.modules)"
    )
    for _ in range(2):  # the first compiles what no test has asked for yet
        ended = subprocess.run([sys.executable, "-c", asked, HERON], capture_output=True, text=True)
        assert (ended.returncode, ended.stderr) == (0, "")
    loaded = set(ended.stdout.split())
    assert "models.concrete._heat_kernel" in loaded
    assert not loaded & {"numba", "scipy.linalg", "sqlmodel", "pydantic"}


def test_the_compiler_loads_without_scipy_and_leaves_it_to_who_asks() -> None:
    asked = (
        "import sys; from models import _jit; _jit._numba(); from models import _emit;"
        "print(*sys.modules); import scipy.linalg"
    )
    loaded = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True)
    assert (loaded.returncode, loaded.stderr) == (0, "")
    assert "numba.np.arraymath" in loaded.stdout.split()
    assert "scipy.linalg" not in loaded.stdout.split()


def test_the_error_family_of_the_command_is_the_one_of_the_api() -> None:
    error = InputError("length_mm", 1, "too short", "50 to 6000 mm").at("a.toml", "piece.")
    assert str(error) == "a.toml: piece.length_mm = 1: too short; give 50 to 6000 mm."
