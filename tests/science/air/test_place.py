"""What each place makes of the same night."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from models.air import members, place, sky
from models.air.series import AirSeries
from models.errors import InputError

START = datetime(2025, 6, 21, 0, tzinfo=UTC)
HOURS = 96


@pytest.fixture(scope="module")
def outdoor() -> members.AirMembers:
    air = 12 + 8 * np.sin(2 * np.pi * (np.arange(HOURS) - 9) / 24)
    same = np.ones(HOURS)
    record = AirSeries(
        START,
        air,
        np.minimum(air, 2.0),
        4 * same,
        0.5 * same,
        0.1 * same,
        np.nan * same,
        START,
        "made up",
    )
    return members.draw(record, 200, 1)


def at(kind: str, outdoor: members.AirMembers, **more: float) -> place.AtPiece:
    told: dict[str, Any] = dict(more)
    site = place.Site(kind, 45.0, 0.0, **told)
    return place.at_piece(site, outdoor, 2)


def test_a_yard_has_sun_rain_and_a_cold_sky(outdoor: members.AirMembers) -> None:
    yard = at("open yard", outdoor)
    assert yard.sun_W_m2[12].mean() > 600
    assert yard.sun_W_m2[0].mean() == 0.0
    assert (yard.sky_loss_W_m2 >= 0).all()  # an overcast sky may be as warm as the air
    assert (np.median(yard.sky_loss_W_m2, axis=1) > 30).all()
    assert yard.rain_mm.sum() > 0


def test_a_roof_keeps_sun_rain_and_sky_away(outdoor: members.AirMembers) -> None:
    """But one in fifty was told wrongly: under it a quarter of the sun and wind of a yard beside a
    roof reaches the piece, and half of them between the walls of a yard."""
    roof, yard = at("covered", outdoor), at("open yard", outdoor)
    np.testing.assert_array_equal(roof.air_C, outdoor.air_C)
    wrong = (roof.sky_loss_W_m2 != 0).any(axis=0)
    assert wrong.mean() == pytest.approx(0.02, abs=0.005)
    assert (roof.sun_W_m2[:, ~wrong] == 0).all()
    assert (roof.sky_loss_W_m2[:, ~wrong] == 0).all()
    assert (roof.rain_mm == 0).all()
    for name in ("sun_W_m2", "sky_loss_W_m2"):
        walled, open_sided = (getattr(one, name)[:, wrong] for one in (yard, roof))
        assert (open_sided.mean(axis=0) != 0).all()
        np.testing.assert_allclose(walled, 2 * open_sided)
    np.testing.assert_allclose(roof.wind_m_s[:, wrong], 0.3125 * outdoor.wind_m_s[:, wrong])
    np.testing.assert_allclose(yard.wind_m_s[:, wrong], 0.375 * outdoor.wind_m_s[:, wrong])


def test_wind_falls_from_the_mast_to_the_yard_to_the_room(outdoor: members.AirMembers) -> None:
    winds = [at(kind, outdoor).wind_m_s.mean() for kind in ("open yard", "covered")]
    winds.append(at("unheated room", outdoor).wind_m_s.mean())
    assert outdoor.wind_m_s.mean() > winds[0] > winds[1] > winds[2]


def test_a_room_is_steadier_than_outdoors(outdoor: members.AirMembers) -> None:
    room = at("unheated room", outdoor, lag_h=8.0, offset_K=1.5)
    day = slice(48, 96)
    assert np.ptp(room.air_C[day].mean(axis=1)) < 0.6 * np.ptp(outdoor.air_C[day].mean(axis=1))
    assert room.air_C[day].mean() - outdoor.air_C[day].mean() == pytest.approx(1.5, abs=0.5)


def test_a_heated_room_keeps_its_setting_unless_the_heater_fails(
    outdoor: members.AirMembers,
) -> None:
    room = at("heated room", outdoor, setpoint_C=20.0)
    last = room.air_C[60]
    assert np.median(last) == pytest.approx(20.0, abs=0.5)
    assert 0 < (last < 16.0).mean() < 0.10


def test_dew_point_is_never_over_the_air_anywhere(outdoor: members.AirMembers) -> None:
    for kind, more in (
        ("open yard", {}),
        ("covered", {}),
        ("unheated room", {}),
        ("heated room", {"setpoint_C": 18.0}),
    ):
        air = at(kind, outdoor, **more)
        assert (air.dew_point_C <= air.air_C + 1e-9).all(), kind


def test_sun_lifts_and_a_clear_sky_lowers_what_a_face_sees(outdoor: members.AirMembers) -> None:
    yard = at("open yard", outdoor)
    film = sky.convection(yard.wind_m_s) + 5.0
    seen = place.sol_air(yard, film) - yard.air_C
    assert seen[12].mean() > 8.0
    assert seen[0].mean() < -1.0


def test_no_position_means_no_sun_rather_than_a_guess(outdoor: members.AirMembers) -> None:
    lost = place.at_piece(place.Site("open yard"), outdoor, 2)
    assert (lost.sun_W_m2 == 0).all()


def test_a_heated_room_without_a_temperature_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        place.Site("heated room")
    assert refused.value.field == "setpoint_C"


def test_a_learned_garage_is_as_sure_as_its_readings_made_it(outdoor: members.AirMembers) -> None:
    told = at("unheated room", outdoor, lag_h=6.0, offset_K=3.0)
    vague, sure = (
        at("unheated room", outdoor, lag_h=6.0, offset_K=3.0, lag_spread=0.3, offset_sd_K=sd)
        for sd in (1.6, 0.7)
    )
    middle = outdoor.air_C.mean() + 3.0
    assert vague.air_C.mean() == pytest.approx(middle, abs=0.4)
    assert vague.air_C[-1].std() > sure.air_C[-1].std()
    assert sure.air_C[-1].std() == pytest.approx(told.air_C[-1].std(), rel=0.1)


def test_a_yard_moves_by_what_its_thermometer_taught(outdoor: members.AirMembers) -> None:
    plain = at("open yard", outdoor)
    colder = at("open yard", outdoor, offset_K=-1.2, offset_sd_K=0.5)
    assert colder.air_C == pytest.approx(plain.air_C - 1.2)
    assert (colder.dew_point_C <= colder.air_C + 1e-9).all()
