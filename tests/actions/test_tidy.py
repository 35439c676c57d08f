"""Old weather and unmoved windows are let go; what is in use or moved a window is kept."""

from datetime import datetime, timedelta

from sqlmodel import col, select

from models.records import Projection, WeatherRun
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.store import Store
from tests.support.shop import Bench, Windows

HOUR = timedelta(hours=1)


def test_of_old_runs_one_a_day_is_kept(
    store: Store, bench: Bench, rounds: Rounds, now: datetime
) -> None:
    for k in range(6 * 24):
        rounds.refresh(now + k * HOUR)
    assert bench.place_id == 1
    end = now + 6 * 24 * HOUR
    assert rounds.tidy(end) == 1
    assert rounds.tidy(end + HOUR) == 0
    with store.reading() as session:
        times = session.exec(select(WeatherRun.fetched_at).order_by(col(WeatherRun.id))).all()
    old = [at for at in times if at < end - timedelta(days=3)]
    assert len(old) == len({at.date() for at in old}) == 4
    assert len(times) - len(old) == 3 * 24


def test_what_was_told_first_moves_that_count_and_the_newest_windows_are_kept(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, now: datetime
) -> None:
    for hours, opens_min in ((0, 900), (1, 910), (2, 990), (3, 995)):
        windows.say("strip", "not yet", now + timedelta(minutes=opens_min))
        project_pour(store, now + hours * HOUR, pour_id)
    rounds.tidy(now + timedelta(days=5))
    with store.reading() as session:
        rows = session.exec(select(Projection).order_by(col(Projection.id))).all()
    assert [bool(row.moved) for row in rows] == [False, True, False]
    assert rows[0].made_at == now
    assert rows[-1].concrete is None
    assert rows[-1].answer["steps"][0]["earliest"]["p90"] == "2026-10-15T15:35:00+00:00"
