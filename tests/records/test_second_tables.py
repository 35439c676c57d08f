"""A database of the first release comes along: its rows stay, and have learned nothing yet."""

from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import text
from sqlmodel import col, select

from models.records import Mix, Place, WeatherRun
from service.store import Store, head

AT = "2026-10-14 23:00:00+00:00"


def at_revision(path: Path, revision: str) -> Store:
    store = Store(f"sqlite:///{path}")
    config = Config()
    config.set_main_option("script_location", str(files("service") / "migrations"))
    with store.engine.execution_options(castclock_writes=True).begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
    return store


def of_the_first_release(path: Path) -> Store:
    store = at_revision(path, "0001")
    with store.engine.execution_options(castclock_writes=True).begin() as connection:
        connection.execute(
            text(
                "INSERT INTO place (name, kind, timezone, created_at) VALUES ('Shed', 'covered',"
                " 'UTC', :at)"
            ),
            {"at": AT},
        )
        connection.execute(
            text(
                "INSERT INTO mix (name, kind, label, density_kg_m3, created_at)"
                " VALUES ('Bag', 'flowing', '[]', 2300, :at)"
            ),
            {"at": AT},
        )
    return store


def test_rows_of_the_first_release_are_kept(tmp_path: Path) -> None:
    store = of_the_first_release(tmp_path / "old.sqlite3")
    assert store.revision() == "0001"
    store.upgrade()
    assert store.revision() == head()
    with store.reading() as session:
        place, mix = session.exec(select(Place)).one(), session.exec(select(Mix)).one()
    assert (place.name, place.learned_offset_K, place.forgotten_at) == ("Shed", None, None)
    assert (mix.name, mix.learned_strength_factor, mix.learned_at) == ("Bag", None, None)
    assert place.created_at == datetime(2026, 10, 14, 23, tzinfo=UTC)
    store.close()


def test_runs_that_said_by_their_names_what_they_are_say_it_by_their_kind(tmp_path: Path) -> None:
    store = at_revision(tmp_path / "old.sqlite3", "0014")
    named = (
        "Open-Meteo forecast",
        "Open-Meteo forecast, before the place was moved",
        "Open-Meteo archive, before the place was moved",
        "earlier runs of Open-Meteo forecast; MET Norway forecast",
    )
    with store.engine.execution_options(castclock_writes=True).begin() as connection:
        connection.execute(
            text(
                "INSERT INTO place (name, kind, timezone, created_at) VALUES ('Shed', 'covered',"
                " 'UTC', :at)"
            ),
            {"at": AT},
        )
        for name in named:
            connection.execute(
                text(
                    "INSERT INTO weather_run (place_id, provider, typed, issued_at, fetched_at,"
                    " start_at, hour_count, hours, created_at)"
                    " VALUES (1, :name, 0, :at, :at, :at, 1, '{}', :at)"
                ),
                {"at": AT, "name": name},
            )
    store.upgrade()
    with store.reading() as session:
        runs = session.exec(select(WeatherRun).order_by(col(WeatherRun.id))).all()
    assert tuple(run.provider for run in runs) == named
    assert [(run.kind, run.moved) for run in runs] == [
        ("forecast", False),
        ("forecast", True),
        ("archive", True),
        ("past", False),
    ]
    assert [run.heard for run in runs[2:]] == [
        None,
        ["Open-Meteo forecast", "MET Norway forecast"],
    ]
    store.close()
