"""A service's members are kept with its newest run, come back with the air, and are drawn from."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from sqlmodel import col, select

from models.air.ensemble import Ensemble
from models.air.series import AirSeries
from models.records import Place, WeatherRun
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import open_shop, save_place
from service.actions.weather import ensemble_rows, place_air
from service.actions.weather.refresh_forecasts import refresh_forecast, type_weather
from service.actions.weather.score_forecasts import score_all
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.queries.rows import find
from service.store import Store
from tests.support.shop import Bench, Sky, one_more_mould

HOUR = timedelta(hours=1)


@dataclass
class SkyWithMembers:
    """The settable sky with nineteen members of a spread, or none."""

    sky: Sky
    spread_K: float | None = 1.0
    name: str = "a sky with members"
    attribution: str = "none"

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        air: AirSeries = self.sky.forecast(latitude, longitude, now)
        if self.spread_K is None:
            return air
        off = np.full((air.hours, 19), np.nan)
        off[48 : 48 + 240] = self.spread_K * np.linspace(-1.6, 1.6, 19)
        return replace(air, ensemble=Ensemble(air.air_C[:, None] + off))


@pytest.fixture
def members_sky(sky: Sky) -> SkyWithMembers:
    return SkyWithMembers(sky)


def joined(store: Store, now: datetime) -> AirSeries:
    with store.reading() as session:
        told = place_air.joined(session, find(session, Place, 1), now, now - 24 * HOUR).air
    assert isinstance(told, AirSeries)
    return told


def with_members(store: Store) -> list[int]:
    with store.reading() as session:
        rows = session.exec(select(WeatherRun).order_by(col(WeatherRun.id))).all()
        return [row.id for row in rows if row.ensemble is not None]


def test_members_come_back_as_they_were_served_to_a_tenth_of_a_degree() -> None:
    random = np.random.default_rng(1)
    air = random.uniform(-40, 40, (60, 12))
    air[:5] = air[50:] = air[:, 4] = air[20, 3] = np.nan
    rain = np.where(random.random((60, 12)) < 0.8, 0.0, random.random((60, 12)))
    told = Ensemble(air, air - 3, rain_mm=rain, cloud_fraction=random.random((60, 12)))
    row = ensemble_rows.packed(told)
    assert row is not None
    back = ensemble_rows.unpacked(row, 60)
    speak = [k for k in range(12) if k != 4]
    np.testing.assert_allclose(back.air_C, air[:, speak], atol=0.0501)
    np.testing.assert_allclose(back.dew_point_C, air[:, speak] - 3, atol=0.0501)
    np.testing.assert_allclose(back.rain_mm[5:50], rain[5:50][:, speak], atol=0.0501)
    assert np.isnan(back.wind_m_s).all()
    assert row["columns"].keys() == {"air_C", "dew_point_C", "rain_mm", "cloud_fraction"}


def test_members_that_say_nothing_are_not_kept() -> None:
    assert ensemble_rows.packed(Ensemble(np.full((4, 3), np.nan))) is None


def test_only_the_newest_members_of_a_place_are_kept(
    store: Store, bench: Bench, members_sky: SkyWithMembers, now: datetime
) -> None:
    for k in range(3):
        refresh_forecast(store, now + k * HOUR, bench.place_id, members_sky)
    assert with_members(store) == [3]
    air = joined(store, now + 2 * HOUR)
    assert air.ensemble is not None
    at = round(air.hour_of(now + 2 * HOUR))
    np.testing.assert_allclose(
        air.ensemble.air_C[at + 10], 12.0 + np.linspace(-1.6, 1.6, 19), atol=0.051
    )
    assert np.isnan(air.ensemble.air_C[: at - 1]).all()


def test_members_serve_a_newer_run_without_any_for_a_day(
    store: Store, bench: Bench, members_sky: SkyWithMembers, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, members_sky)
    members_sky.spread_K = None
    for h, there in ((3, True), (23, True), (25, False)):
        later = now + h * HOUR
        refresh_forecast(store, later, bench.place_id, members_sky)
        air = joined(store, later)
        assert (air.ensemble is not None) == there
        if there:
            assert air.ensemble is not None
            at = round(air.hour_of(later))
            assert air.ensemble.air_C[at + 5, 0] == pytest.approx(12.0 - 1.6, abs=0.051)


def test_weather_typed_by_hand_has_no_members(store: Store, bench: Bench, now: datetime) -> None:
    with store.unit_of_work() as session:
        type_weather(session, now, bench.place_id, 3.0, 12.0)
    assert joined(store, now).ensemble is None


def test_a_service_that_is_unsure_makes_a_wider_window(
    store: Store, bench: Bench, members_sky: SkyWithMembers, now: datetime
) -> None:
    widths = []
    for k, spread_K in enumerate((1.0, 5.0)):
        at = now + k * HOUR
        members_sky.spread_K = spread_K
        refresh_forecast(store, at, bench.place_id, members_sky)
        with store.unit_of_work() as session:
            pour_id = log_pour(
                session,
                at,
                PourCreate(
                    mix_id=bench.mix_id,
                    piece_id=bench.piece_id,
                    placed_at=at,
                    place_id=bench.place_id,
                    mould_id=one_more_mould(session, at),
                    concrete_C=12.0,
                ),
            ).id
        row = project_pour(store, at, pour_id)
        assert row is not None
        (strip,) = [step for step in row.answer["steps"] if step["step"] == "strip"]
        likely, sure = (datetime.fromisoformat(strip["earliest"][q]) for q in ("p50", "p90"))
        widths.append(sure - likely)
    assert widths[1] > widths[0] + HOUR


def test_members_are_kept_and_let_go_on_every_database(
    any_store: Store, members_sky: SkyWithMembers, now: datetime
) -> None:
    with any_store.unit_of_work() as session:
        open_shop(session, now, "UTC")
        place = {"name": "Yard", "kind": "open yard", "latitude": 40.0, "longitude": -74.0}
        place_id = save_place(session, now, place).id
    for k in range(12):
        refresh_forecast(any_store, now + 20 * k * HOUR, place_id, members_sky)
    assert with_members(any_store) == [12]
    score_all(any_store, now + 240 * HOUR)
    with any_store.reading() as session:
        calibrated = place_air.forecast_scores(find(session, Place, place_id))
    assert calibrated[0].days >= 7
    assert calibrated[0].bias_K == 0.0  # the sky is as it was foretold
