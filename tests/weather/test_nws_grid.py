"""Reading the raw grid: intervals, units, gaps. The document is the one of the design's facts."""

from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from service.weather import nws_grid, nws_notation
from service.weather.answer import Frame
from tests.support.raw import JsonDict

START = datetime(2026, 5, 4, 3, tzinfo=UTC)
NOW = datetime(2026, 5, 4, 9, 40, tzinfo=UTC)
FRAME = Frame(START, 9)
HOUR = timedelta(hours=1)


def layer(uom: str | None, *told: tuple[object, object]) -> JsonDict:
    values = [{"validTime": when, "value": value} for when, value in told]
    return {"values": values} if uom is None else {"uom": uom, "values": values}


def at(hour: int, length: str) -> str:
    return f"2026-05-04T{hour:02d}:00:00+00:00/{length}"


def grid(**layers: object) -> JsonDict:
    return {
        "temperature": layer(
            "wmoUnit:degC",
            (at(3, "PT2H"), 12.777777777777779),
            (at(5, "PT1H"), 11.666666666666666),
            (at(6, "PT3H"), 11.11111111111111),
        ),
        "dewpoint": layer("wmoUnit:degC", (at(3, "PT6H"), 7.222222222222222)),
        "relativeHumidity": layer("wmoUnit:percent", (at(3, "PT2H"), 69), (at(5, "PT4H"), 76)),
        "windSpeed": layer("wmoUnit:km_h-1", (at(3, "PT4H"), 9.26), (at(7, "PT2H"), 0)),
        "skyCover": layer("wmoUnit:percent", (at(3, "PT1H"), 34), (at(4, "PT5H"), 100)),
        "probabilityOfPrecipitation": layer(
            "wmoUnit:percent", (at(3, "PT3H"), 8), (at(6, "PT6H"), 41)
        ),
        "quantitativePrecipitation": layer("wmoUnit:mm", (at(3, "PT3H"), 0), (at(6, "PT6H"), 2.4)),
        "hazards": {"values": []},
        "pressure": {"values": []},
    } | layers


def read(**layers: object) -> tuple[JsonDict, list[str]]:
    notes: list[str] = []
    return nws_grid.columns(grid(**layers), FRAME, NOW, notes), notes


def test_the_document_of_the_facts_expands_to_their_hours() -> None:
    """At 06Z, by hand: 9.26 km/h is 2.572 m/s, and 2.4 mm in six hours is 0.4 mm an hour."""
    told, notes = read()
    assert notes == []
    six = {name: column[3] for name, column in told.items()}
    assert six["air_C"] == pytest.approx(11.11, abs=0.005)
    assert six["dew_point_C"] == pytest.approx(7.22, abs=0.005)
    assert six["rh_fraction"] == pytest.approx(0.76)
    assert six["wind_m_s"] == pytest.approx(2.572, abs=0.0005)
    assert six["cloud_fraction"] == 1.0
    assert six["rain_chance"] == pytest.approx(0.41)
    assert six["rain_mm"] == pytest.approx(0.4)
    assert np.isnan(told["air_C"][6:]).all(), "nothing is told after 09Z"


def test_calm_is_a_value() -> None:
    """Case 30."""
    told, _ = read()
    assert told["wind_m_s"][4] == 0.0
    assert np.isnan(told["wind_m_s"][6])


@pytest.mark.parametrize("unused", [{"values": []}, {}, None, "calm", {"uom": "wmoUnit:degC"}])
def test_an_unused_layer_is_missing_and_the_others_are_kept(unused: object) -> None:
    """Case 25: without values there is no unit either."""
    told, notes = read(skyCover=unused)
    assert np.isnan(told["cloud_fraction"]).all()
    assert np.isfinite(told["air_C"][:6]).all()
    assert any("skyCover" in note for note in notes)


@pytest.mark.parametrize("uom", ["wmoUnit:furlong_h-1", "", None, 7, "wmoUnit:degC"])
def test_wind_in_a_unit_nobody_knows_is_missing_and_said(uom: object) -> None:
    """Case 26."""
    told, notes = read(windSpeed={"uom": uom, "values": [{"validTime": at(3, "PT6H"), "value": 5}]})
    assert np.isnan(told["wind_m_s"]).all()
    assert any("windSpeed: unit" in note for note in notes)


@pytest.mark.parametrize(
    ("name", "uom", "value", "ours", "meant"),
    [
        ("temperature", "wmoUnit:degF", 50, "air_C", 10.0),
        ("temperature", "unit:degC", 10, "air_C", 10.0),
        ("temperature", "degC", 10, "air_C", 10.0),
        ("temperature", "wmoUnit:K", 283.15, "air_C", 10.0),
        ("windSpeed", "wmoUnit:m_s-1", 5, "wind_m_s", 5.0),
        ("windSpeed", "unit:km_h-1", 36, "wind_m_s", 10.0),
        ("windSpeed", "nwsUnit:kt", 10, "wind_m_s", 5.14444),
        ("windSpeed", "wmoUnit:mi_h-1", 10, "wind_m_s", 4.4704),
    ],
)
def test_units_that_the_service_has_used_are_converted(
    name: str, uom: str, value: float, ours: str, meant: float
) -> None:
    """Case 27: codes and prefixes have changed over the years."""
    told, _ = read(**{name: layer(uom, (at(3, "PT6H"), value))})
    assert told[ours][2] == pytest.approx(meant, rel=1e-5)


def test_rain_in_metres_was_once_told() -> None:
    told, _ = read(quantitativePrecipitation=layer("unit:m", (at(3, "PT2H"), 0.003)))
    assert told["rain_mm"][:2] == pytest.approx([1.5, 1.5])


@pytest.mark.parametrize(
    ("when", "hours"),
    [
        ("2026-05-04T03:00:00+00:00/PT1H", 1),
        ("2026-05-04T03:00:00+00:00/PT21H", 21),
        ("2026-05-04T03:00:00Z/PT72H", 72),
        ("2026-05-04T03:00:00+00:00/P1D", 24),
        ("2026-05-04T03:00:00+00:00/P1DT2H", 26),
        ("2026-05-04T03:00:00+00:00/P7DT14H", 182),
        ("2026-05-04T03:00:00+00:00/P1W", 168),
        ("2026-05-04T03:00:00+00:00/PT90M", 1.5),
        ("2026-05-04T03:00:00+00:00/PT3600S", 1),
        ("2026-05-04T03:00:00Z/2026-05-04T09:00:00Z", 6),
        ("PT6H/2026-05-04T09:00:00Z", 6),
        ("2026-05-03T22:00:00-05:00/PT2H", 2),
    ],
)
def test_an_interval_in_any_form_of_the_standard(when: str, hours: float) -> None:
    """Case 28; ISO 8601-1, 5.5.1: start and duration, start and end, duration and end."""
    span = nws_notation.interval(when, NOW)
    assert span == (START, START + hours * HOUR)


def test_now_is_a_moment_of_an_interval() -> None:
    assert nws_notation.interval("NOW/PT2H", NOW) == (NOW, NOW + 2 * HOUR)
    assert nws_notation.interval("2026-05-04T03:00:00Z/NOW", NOW) == (START, NOW)


@pytest.mark.parametrize(
    "when",
    [
        "",
        "/",
        "PT1H",
        "2026-05-04T03:00:00Z",
        "2026-05-04T03:00:00Z/",
        "/PT1H",
        "2026-05-04T03:00:00/PT1H",
        "2026-05-04T03:00:00Z/P1M",
        "2026-05-04T03:00:00Z/P1Y",
        "2026-05-04T03:00:00Z/P",
        "2026-05-04T03:00:00Z/PT",
        "2026-05-04T03:00:00Z/P1DT",
        "2026-05-04T03:00:00Z/PT0H",
        "2026-05-04T03:00:00Z/2026-05-04T02:00:00Z",
        "2026-05-04T03:00:00Z/PT-1H",
        "2026-05-04T03:00:00Z/P99999999999D",
        "2026-05-04T03:00:00Z/P9999999D",
        "PT1H/PT1H",
        "2026-05-04T03:00:00Z/PT1H/PT1H",
        "2026-13-04T03:00:00Z/PT1H",
        None,
        17,
        ["x"],
    ],
)
def test_an_interval_that_cannot_be_read_leaves_its_hours_missing(when: object) -> None:
    """Case 28: a bad string, no offset, no one length, no length at all."""
    assert nws_notation.interval(when, NOW) is None
    told, notes = read(
        temperature=layer("wmoUnit:degC", (at(3, "PT2H"), 12.0), (when, 30.0), (at(6, "PT1H"), 9.0))
    )
    assert told["air_C"][:4] == pytest.approx([12.0, 12.0, np.nan, 9.0], nan_ok=True)
    assert "temperature: 1 of its times cannot be read, left out" in notes


@pytest.mark.parametrize("value", [None, "12", True, [12], float("nan"), 10**400])
def test_what_is_no_number_in_the_middle_stays_missing(value: object) -> None:
    """Case 29."""
    told, _ = read(
        temperature=layer(
            "wmoUnit:degC", (at(3, "PT2H"), 12.0), (at(5, "PT1H"), value), (at(6, "PT1H"), 9.0)
        )
    )
    assert told["air_C"][:4] == pytest.approx([12.0, 12.0, np.nan, 9.0], nan_ok=True)


def test_of_two_that_overlap_the_later_counts_and_a_gap_is_a_gap() -> None:
    """Case 31, whatever the order they stand in."""
    told, _ = read(
        temperature=layer(
            "wmoUnit:degC", (at(8, "PT2H"), 7.0), (at(5, "PT1H"), 11.0), (at(3, "PT4H"), 12.0)
        )
    )
    assert told["air_C"] == pytest.approx(
        [12.0, 12.0, 11.0, 12.0, np.nan, 7.0, 7.0, np.nan, np.nan], nan_ok=True
    )


def test_a_state_holds_at_the_whole_hours_inside_its_interval() -> None:
    told, _ = read(temperature=layer("wmoUnit:degC", ("2026-05-04T04:30:00Z/PT2H", 7.0)))
    assert np.flatnonzero(np.isfinite(told["air_C"])).tolist() == [2, 3], "05 and 06 UTC"


def test_of_two_totals_that_overlap_each_keeps_its_rate() -> None:
    told, _ = read(
        quantitativePrecipitation=layer("wmoUnit:mm", (at(3, "PT4H"), 4.0), (at(5, "PT2H"), 6.0))
    )
    assert told["rain_mm"][:4] == pytest.approx([1.0, 1.0, 3.0, 3.0])


def test_a_total_is_spread_over_its_hours_and_none_of_it_is_lost() -> None:
    """Case 32: six hours of which three are over by now."""
    told, _ = read(quantitativePrecipitation=layer("wmoUnit:mm", (at(6, "PT6H"), 2.4)))
    assert told["rain_mm"][3:] == pytest.approx([0.4] * 6)
    assert told["rain_mm"][3:].sum() == pytest.approx(2.4)
    assert np.isnan(told["rain_mm"][:3]).all()


def test_totals_that_begin_half_past_meet_in_the_hour_they_share() -> None:
    told, _ = read(
        quantitativePrecipitation=layer(
            "wmoUnit:mm",
            ("2026-05-04T03:30:00Z/PT2H", 2.0),
            ("2026-05-04T05:30:00Z/PT90M", 3.0),
        )
    )
    assert told["rain_mm"][:5] == pytest.approx([np.nan, 1.0, 1.5, 2.0, np.nan], nan_ok=True)


def test_rain_that_ends_before_the_temperature_is_missing_not_dry() -> None:
    """Case 33."""
    told, _ = read(quantitativePrecipitation=layer("wmoUnit:mm", (at(3, "PT2H"), 0)))
    assert told["rain_mm"][:2].tolist() == [0.0, 0.0]
    assert np.isnan(told["rain_mm"][2:]).all()
    assert np.isfinite(told["air_C"][2:6]).all()


def test_a_total_of_nothing_known_is_not_dry() -> None:
    told, _ = read(quantitativePrecipitation=layer("wmoUnit:mm", (at(3, "PT6H"), None)))
    assert np.isnan(told["rain_mm"]).all()


def test_intervals_far_outside_the_hours_we_look_at_do_no_harm() -> None:
    told, _ = read(
        temperature=layer("wmoUnit:degC", ("1999-01-01T00:00:00Z/P9000D", 1.0), (at(5, "PT1H"), 9)),
        quantitativePrecipitation=layer("wmoUnit:mm", ("1999-01-01T00:00:00Z/P1D", 1.0)),
    )
    assert told["air_C"][2] == 9.0
    assert np.isnan(told["air_C"][[0, 1, 3]]).all(), "9000 days end in 2023"
    assert np.isnan(told["rain_mm"]).all()


@pytest.mark.parametrize("day", ["2027-12-31", "2028-02-28"])
def test_new_year_and_the_leap_day_are_hours_like_others(day: str) -> None:
    """Case 57: 48 hours lead to 2 January, and over 29 February to 1 March."""
    frame = Frame(datetime.fromisoformat(f"{day}T00:00:00+00:00"), 60)
    told = nws_grid.columns(
        {"temperature": layer("wmoUnit:degC", (f"{day}T00:00:00+00:00/P2D", 4.0))}, frame, NOW, []
    )
    assert np.flatnonzero(np.isfinite(told["air_C"])).tolist() == list(range(48))


@pytest.mark.parametrize("name", ["air_C", "dew_point_C", "rh_pct", "wind_m_s"])
def test_the_record_of_2013_survives_being_merged_into_intervals(
    record_2013: ModuleType, nws_shape: ModuleType, name: str
) -> None:
    """Real hours, gaps and spikes, encoded by the stand-in and read again."""
    begin = datetime(2013, 10, 25, tzinfo=UTC)
    hours = [begin + k * HOUR for k in range(24 * 14)]
    truth = [record_2013.record("JFK").get(hour, {}).get(name) for hour in hours]
    values = list(nws_shape.merged(list(zip(hours, truth, strict=True))))
    assert len(values) < len(hours), "something was merged"
    told = [(v["validTime"], v["value"]) for v in values]
    read_again = nws_grid.columns(
        {"temperature": layer("wmoUnit:degC", *told)}, Frame(begin, len(hours)), NOW, []
    )
    meant = [np.nan if value is None else value for value in truth]
    assert read_again["air_C"] == pytest.approx(meant, nan_ok=True)
    assert np.isnan(read_again["air_C"]).any(), "the record has gaps here"
