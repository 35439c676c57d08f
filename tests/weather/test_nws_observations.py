"""Reports of a station: unsorted, doubled, null, late; and which of them an hour may believe."""

from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.units import Array
from service.weather import nws_observations as observations
from service.weather.answer import Frame
from tests.support.raw import JsonDict

NOW = datetime(2026, 5, 4, 9, 40, tzinfo=UTC)
START = datetime(2026, 5, 4, 0, tzinfo=UTC)
FRAME = Frame(START, 24)
MINUTE = timedelta(minutes=1)


def report(at: datetime, air_C: float | None = 11.0, **changed: object) -> JsonDict:
    properties = {
        "timestamp": at.isoformat(),
        "rawMessage": "",
        "elevation": {"unitCode": "wmoUnit:m", "value": 530},
        "temperature": {"unitCode": "wmoUnit:degC", "value": air_C, "qualityControl": "V"},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 7.2, "qualityControl": "V"},
        "windSpeed": {"unitCode": "wmoUnit:km_h-1", "value": 18.0, "qualityControl": "V"},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 76.8, "qualityControl": "V"},
        "cloudLayers": [{"base": {"unitCode": "wmoUnit:m", "value": 1370}, "amount": "SCT"}],
    } | changed
    return {"type": "Feature", "geometry": None, "properties": properties}


def hourly(*features: object, now: datetime = NOW) -> JsonDict:
    reports = observations.read({"features": list(features)}, FRAME, now)
    return observations.hourly(reports, FRAME, now)


def at(hour: int, minute: int = 0) -> datetime:
    return START + timedelta(hours=hour, minutes=minute)


def told(column: Array) -> dict[int, float]:
    return {int(k): round(float(column[k]), 3) for k in np.flatnonzero(np.isfinite(column))}


def test_a_report_stands_for_the_hour_it_is_near_to() -> None:
    """Within 40 minutes; 08:53 is near 09:00 and not near 08:00."""
    seen = hourly(report(at(8, 53)))
    assert told(seen["air_C"]) == {9: 11.0}
    assert told(seen["dew_point_C"]) == {9: 7.2}
    assert told(seen["wind_m_s"]) == {9: 5.0}


def test_reports_in_any_order_make_the_same_hours() -> None:
    """Case 35: lists are not sorted for certain."""
    features = [report(at(k, 53), 10.0 + k) for k in range(9)]
    in_order = hourly(*features)
    mixed = hourly(*features[::-1][3:], *features[::-1][:3])
    for name, column in in_order.items():
        np.testing.assert_array_equal(column, mixed[name])
    assert told(in_order["air_C"])[5] == pytest.approx(10.0 + 4 + 7 / 60, abs=0.001)


def test_a_doubled_report_counts_once_and_the_one_with_a_temperature() -> None:
    """Case 35."""
    for features in (
        [report(at(8, 53), None), report(at(8, 53), 11.0)],
        [report(at(8, 53), 11.0), report(at(8, 53), None)],
        [report(at(8, 53), 11.0), report(at(8, 53), 11.0)],
    ):
        assert told(hourly(*features)["air_C"]) == {9: 11.0}


def test_a_null_temperature_is_found_in_the_report_itself() -> None:
    """Case 35: T01110072 of the facts' own METAR is 11.1 and 7.2 C; a leading 1 is a minus."""
    raw = "KTST 040853Z 17006KT 10SM SCT045 11/07 A2995 RMK AO2 SLP140 T01110072"
    seen = hourly(report(at(8, 53), None, rawMessage=raw))
    assert told(seen["air_C"]) == {9: 11.1}
    assert told(seen["dew_point_C"]) == {9: 7.2}
    cold = hourly(report(at(8, 53), None, rawMessage="KTST 040853Z RMK AO2 T10111056"))
    assert told(cold["air_C"]) == {9: -1.1}
    assert told(cold["dew_point_C"]) == {9: -5.6}


@pytest.mark.parametrize("raw", ["", None, "TEMPO 0111", "RMK T2111", "RMK AT01110072X"])
def test_a_null_temperature_without_such_a_group_is_missing(raw: object) -> None:
    assert told(hourly(report(at(8, 53), None, rawMessage=raw))["air_C"]) == {}


@pytest.mark.parametrize("flag", ["X", "B", "Q"])
def test_what_failed_the_quality_control_is_missing(flag: str) -> None:
    bad = {"unitCode": "wmoUnit:degC", "value": 45.0, "qualityControl": flag}
    assert told(hourly(report(at(8, 53), temperature=bad))["air_C"]) == {}


@pytest.mark.parametrize("flag", ["Z", "C", "S", "V", None])
def test_what_was_not_controlled_yet_counts(flag: object) -> None:
    fine = {"unitCode": "wmoUnit:degC", "value": 12.0, "qualityControl": flag}
    assert told(hourly(report(at(8, 53), temperature=fine))["air_C"]) == {9: 12.0}


def test_what_no_yard_ever_had_does_not_rub_off_on_the_hours_beside_it() -> None:
    """Cases 71, 72: 1048 mph and a lone frost; the hours between are not made of them."""
    gust = {"unitCode": "wmoUnit:km_h-1", "value": 1687.0, "qualityControl": "V"}
    seen = hourly(
        report(at(6, 53), 12.0), report(at(7, 53), -10.5, windSpeed=gust), report(at(8, 53), 12.0)
    )
    assert set(told(seen["wind_m_s"]).values()) == {5.0}
    assert set(told(seen["air_C"]).values()) == {12.0}


def test_a_gap_of_three_hours_is_bridged_and_one_of_four_is_not() -> None:
    bridged = told(hourly(report(at(2), 10.0), report(at(5), 13.0))["air_C"])
    assert bridged == {2: 10.0, 3: 11.0, 4: 12.0, 5: 13.0}
    assert told(hourly(report(at(2), 10.0), report(at(6), 13.0))["air_C"]) == {2: 10.0, 6: 13.0}


def test_an_old_report_does_not_speak_for_now() -> None:
    """Case 35: eleven hours old."""
    late = datetime(2026, 5, 4, 15, 55, tzinfo=UTC)
    seen = hourly(report(late - timedelta(hours=11)), now=late)
    assert told(seen["air_C"]) == {5: 11.0}


def test_reports_of_the_future_are_not_believed() -> None:
    assert told(hourly(report(NOW + 5 * MINUTE))["air_C"]) == {}
    assert told(hourly(report(at(8)), report(at(10, 30)))["air_C"]) == {8: 11.0}, "nor bridged to"


def test_a_temperature_without_any_moisture_leaves_the_hour_to_the_analysis() -> None:
    nothing = {"unitCode": "wmoUnit:degC", "value": None, "qualityControl": "Z"}
    seen = hourly(report(at(8, 53), dewpoint=nothing, relativeHumidity=nothing))
    assert told(seen["air_C"]) == {}
    assert told(seen["wind_m_s"]) == {9: 5.0}


def test_a_measured_temperature_never_meets_an_analysed_dew_point() -> None:
    analysed = {
        name: np.full(24, 0.5)
        for name in ("air_C", "dew_point_C", "rh_fraction", "wind_m_s", "cloud_fraction", "rain_mm")
    }
    nothing = {"unitCode": "wmoUnit:degC", "value": None, "qualityControl": "Z"}
    merged = observations.over(analysed, hourly(report(at(8, 53), 3.0, dewpoint=nothing)))
    assert merged["air_C"][9] == 3.0
    assert np.isnan(merged["dew_point_C"][9]), "the measured humidity gives it"
    assert merged["rh_fraction"][9] == pytest.approx(0.768)
    assert merged["air_C"][8] == 0.5
    assert merged["rain_mm"][9] == 0.5


@pytest.mark.parametrize(
    ("layers", "fraction"),
    [
        ([{"amount": "CLR"}], 0.0),
        ([{"amount": "FEW"}, {"amount": "BKN"}], 0.75),
        ([{"amount": "OVC"}], 1.0),
        ([{"amount": "VV"}], 1.0),
    ],
)
def test_cloud_is_the_greatest_amount_of_all_layers(layers: object, fraction: float) -> None:
    """Amounts by their definition in eighths: BKN is 5 to 7 of 8, OVC is 8; from memory."""
    assert told(hourly(report(at(8, 53), cloudLayers=layers))["cloud_fraction"]) == {9: fraction}


@pytest.mark.parametrize("layers", [[], None, "OVC", [{}], [{"amount": "XYZ"}], [7]])
def test_no_layers_are_no_clear_sky(layers: object) -> None:
    assert told(hourly(report(at(8, 53), cloudLayers=layers))["cloud_fraction"]) == {}


def test_absent_keys_are_missing() -> None:
    """Case 35: the keys of rain amounts, and any other."""
    bare = {"properties": {"timestamp": at(8, 53).isoformat()}}
    seen = hourly(bare)
    assert all(told(column) == {} for column in seen.values())
    assert "rain_mm" not in seen


@pytest.mark.parametrize(
    "document",
    [
        {},
        {"features": None},
        {"features": [None, 7, {}, {"properties": None}, {"properties": {"timestamp": "noon"}}]},
        {"features": [{"properties": {"timestamp": "2026-05-04T08:53:00"}}]},
    ],
)
def test_what_holds_no_report_tells_nothing(document: JsonDict) -> None:
    reports = observations.read(document, FRAME, NOW)
    assert reports.with_temperature == 0
    assert told(observations.hourly(reports, FRAME, NOW)["air_C"]) == {}


def test_the_reports_of_a_real_week_come_back_at_their_hours(
    record_2013: ModuleType, nws_shape: ModuleType
) -> None:
    """Newark around 3 November 2013: each report seven minutes before its hour, joined straight."""
    begin = datetime(2013, 10, 31, tzinfo=UTC)
    frame, now = Frame(begin, 121), begin + timedelta(hours=120)
    rows = record_2013.record("EWR")
    hours = [begin + timedelta(hours=k) for k in range(121)]
    features = [nws_shape.report("0", h - 7 * MINUTE, rows[h]) for h in hours if h in rows]
    reports = observations.read({"features": features}, frame, now)
    seen = observations.hourly(reports, frame, now)["air_C"]
    known = [h in rows and h + timedelta(hours=1) in rows for h in hours[:-1]]
    value = np.array([rows.get(h, {}).get("air_C", np.nan) for h in hours])
    meant = (53 * value[:-1] + 7 * value[1:]) / 60
    assert sum(known) > 100
    assert seen[:-1][known] == pytest.approx(meant[known], abs=1e-6)
