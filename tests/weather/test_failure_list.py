"""The failure cases of weather, by their numbers in the design, and the tests that hold them.

A case is held by tests that end in a stated, safe answer.
"""

import ast
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
OM = "weather/test_open_meteo_on_the_wire.py::"
READ = "weather/test_open_meteo_answer.py::"
GRID = "weather/test_nws_grid.py::"
WORDS = "weather/test_nws_hourly.py::"
SEEN = "weather/test_nws_observations.py::"
DOWN = "weather/test_nws_when_it_fails.py::"
PLACE = "weather/test_nws_of_a_place.py::"
ALERTS = "weather/test_nws_alerts.py::"
MET = "weather/test_met_norway_answer.py::"
ASKED = "weather/test_met_norway_on_the_wire.py::"
FILES = "weather/test_csv_file.py::"
COPIES = "weather/test_copies.py::"
YEAR = "weather/test_epw.py::"
SERVED = "science/air/test_members_of_a_service.py::"

HELD: dict[int, tuple[str, ...]] = {
    # transport
    1: (OM + "test_nobody_at_the_address",),
    2: (OM + "test_an_answer_that_does_not_come_then_one_that_does",),
    3: (
        OM + "test_two_server_errors_then_an_answer",
        DOWN + "test_a_garbled_answer_anywhere_on_the_way_is_asked_for_again",
    ),
    4: (
        OM + "test_busy_and_says_for_how_long",
        OM + "test_busy_for_longer_than_we_wait_is_left_to_the_clock",
    ),
    5: (DOWN + "test_a_problem_says_when_to_come_back",),
    6: (
        OM + "test_too_many_questions_this_minute_hour_or_day",
        DOWN + "test_too_many_questions_wait_the_usual_five_seconds",
        ASKED + "test_a_refusal_is_not_argued_with",
    ),
    7: (
        OM + "test_a_refusal_is_not_argued_with",
        DOWN + "test_whoever_does_not_say_who_he_is_is_refused",
        ASKED + "test_a_contact_that_it_does_not_believe",
    ),
    8: (
        DOWN + "test_a_place_abroad_is_refused_as_often_as_it_is_asked_about",
        "weather/test_chain.py::test_a_service_that_does_not_know_the_point_is_left_alone",
    ),
    9: (PLACE + "test_a_station_without_reports_gives_way_to_the_next",),
    10: (
        OM + "test_sent_on_within_the_same_host",
        OM + "test_sent_round_in_circles",
        OM + "test_sent_on_to_a_stranger_is_refused",
        PLACE + "test_links_to_strangers_are_refused",
        PLACE + "test_the_stand_in_sends_long_and_padded_coordinates_on",
    ),
    11: (
        OM + "test_a_garbled_answer_is_asked_for_again",
        DOWN + "test_a_garbled_answer_anywhere_on_the_way_is_asked_for_again",
        ASKED + "test_a_garbled_answer_is_asked_for_again",
    ),
    12: (
        OM + "test_a_garbled_answer_is_asked_for_again",
        DOWN + "test_a_garbled_answer_anywhere_on_the_way_is_asked_for_again",
    ),
    13: (OM + "test_an_answer_that_stays_garbled_is_no_weather",),
    14: (OM + "test_a_flood_is_cut_off",),
    15: (
        OM + "test_a_status_that_is_nearly_200_is_read",
        ASKED + "test_a_product_on_its_way_out_is_still_read",
    ),
    16: ("weather/test_in_flight.py::test_four_refreshes_of_one_place_make_one_request",),
    # copies
    17: (COPIES + "test_it_is_not_asked_again_before_its_time",),
    18: (
        COPIES + "test_not_modified_may_name_a_new_time_until_which_it_holds",
        COPIES + "test_nothing_new_that_was_not_asked_is_no_answer",
    ),
    19: (COPIES + "test_a_last_change_in_the_future_does_not_freeze_the_forecast",),
    20: (COPIES + "test_the_date_of_the_last_change_goes_back_byte_for_byte",),
    21: ("actions/test_refresh.py::test_an_older_answer_than_the_one_we_have_is_ignored",),
    # age
    22: (
        DOWN + "test_yesterdays_copy_says_its_age",
        "weather/test_choose.py::test_a_forecast_grows_old",
    ),
    23: (
        DOWN + "test_a_copy_of_another_week_or_of_the_future_is_refused",
        DOWN + "test_a_clock_that_was_set_back_does_not_keep_an_old_answer",
    ),
    # the grid of the National Weather Service
    24: (PLACE + "test_the_first_cell_of_a_grid_has_numbers_too",),
    25: (GRID + "test_an_unused_layer_is_missing_and_the_others_are_kept",),
    26: (GRID + "test_wind_in_a_unit_nobody_knows_is_missing_and_said",),
    27: (GRID + "test_units_that_the_service_has_used_are_converted",),
    28: (
        GRID + "test_an_interval_in_any_form_of_the_standard",
        GRID + "test_an_interval_that_cannot_be_read_leaves_its_hours_missing",
    ),
    29: (GRID + "test_what_is_no_number_in_the_middle_stays_missing",),
    30: (GRID + "test_calm_is_a_value",),
    31: (GRID + "test_of_two_that_overlap_the_later_counts_and_a_gap_is_a_gap",),
    32: (GRID + "test_a_total_is_spread_over_its_hours_and_none_of_it_is_lost",),
    33: (GRID + "test_rain_that_ends_before_the_temperature_is_missing_not_dry",),
    34: (
        WORDS + "test_wind_in_words_or_as_a_number",
        WORDS + "test_a_trend_does_not_matter",
        WORDS + "test_a_chance_of_null_is_missing_and_one_of_zero_is_not",
        WORDS + "test_a_temperature_with_its_unit_or_none",
    ),
    35: (
        SEEN + "test_reports_in_any_order_make_the_same_hours",
        SEEN + "test_a_doubled_report_counts_once_and_the_one_with_a_temperature",
        SEEN + "test_a_null_temperature_is_found_in_the_report_itself",
        SEEN + "test_absent_keys_are_missing",
        SEEN + "test_an_old_report_does_not_speak_for_now",
    ),
    36: (
        ALERTS + "test_an_update_takes_the_place_of_what_it_refers_to",
        ALERTS + "test_without_an_end_the_alert_ends_when_it_expires",
    ),
    # MET Norway
    37: (
        MET + "test_an_hour_that_is_not_told_gets_what_is_left_of_the_six",
        MET + "test_rain_that_nobody_tells_is_missing_not_dry",
    ),
    38: (
        MET + "test_between_six_hourly_steps_the_temperature_never_leaves_its_ends",
        ASKED + "test_the_six_hourly_days_miss_the_record_by_what_was_measured_for_them",
    ),
    39: (MET + "test_without_percentiles_no_doubt_is_told",),
    40: (MET + "test_rain_that_nobody_tells_is_missing_not_dry",),
    41: (
        MET + "test_six_hours_of_rain_are_spread_and_not_taken_for_one",
        ASKED + "test_rain_of_the_whole_week_is_neither_lost_nor_doubled",
    ),
    # Open-Meteo
    42: (READ + "test_an_answer_that_ends_in_nulls_is_cut_at_its_last_temperature",),
    43: (READ + "test_a_layer_shorter_than_the_times_is_missing_at_its_end",),
    44: (READ + "test_a_model_name_behind_the_variables_is_looked_through",),
    45: (READ + "test_kilometres_an_hour_are_read_as_what_they_are",),
    46: (READ + "test_rain_sun_and_chance_belong_to_the_hour_before_the_time_beside_them",),
    47: (READ + "test_times_of_another_zone_are_brought_back_to_utc",),
    48: (READ + "test_of_several_places_the_first_is_taken",),
    49: (READ + "test_elevation_may_be_absent",),
    # files
    50: (YEAR + "test_files_as_they_are_found",),
    51: (
        YEAR + "test_files_as_they_are_found",
        YEAR + "test_codes_for_missing_are_missing",
        YEAR + "test_a_header_that_is_none_is_refused",
    ),
    52: (YEAR + "test_half_hour_zones_lie_between_the_rows",),
    53: (YEAR + "test_new_year_is_passed_as_if_the_year_began_again",),
    54: (
        FILES + "test_a_time_without_offset_is_refused",
        FILES + "test_the_same_weather_however_the_file_is_written",
        FILES + "test_the_same_hour_twice_with_other_values_is_refused",
    ),
    # time
    55: (
        WORDS + "test_two_hours_named_alike_are_told_apart_by_their_offset",
        PLACE + "test_the_nights_when_the_clocks_change_have_every_hour_once",
        FILES + "test_the_day_the_clocks_change_is_one_record",
    ),
    56: (
        FILES + "test_half_hour_offsets_are_read_when_they_meet_a_whole_hour_of_utc",
        "published/test_pvlib.py::test_elevation_of_the_sun_through_a_year",
    ),
    57: (
        MET + "test_new_year_and_the_leap_day_are_hours_like_others",
        GRID + "test_new_year_and_the_leap_day_are_hours_like_others",
    ),
    # doubt
    58: ("published/test_zheng_2025.py::test_spread_at_each_lead",),
    59: ("published/test_city_forecasts_2021.py::test_the_next_night_is_missed_alike",),
    60: ("science/air/test_place.py::test_dew_point_is_never_over_the_air_anywhere",),
    61: ("science/air/test_series.py::test_rain_keeps_its_mean_whatever_its_chance",),
    62: ("science/concrete/test_prior.py::test_same_seed_draws_the_same_members",),
    63: (SERVED + "test_an_older_run_has_a_wider_band",),
    64: (
        ASKED + "test_percentiles_come_back_as_the_doubt_they_were_made_of",
        SERVED + "test_a_told_spread_goes_before_the_table",
    ),
    65: ("science/air/test_score.py::test_hours_within_the_stated_band_are_counted",),
    # the garage
    66: ("published/test_room_lag.py::test_a_room_without_lag_is_outdoors",),
    67: ("published/test_room_lag.py::test_room_answers_the_day_smaller_and_later",),
    68: ("published/test_room_lag.py::test_room_in_steady_air_settles_at_air_plus_offset",),
    69: ("science/air/test_calibrated_place.py::test_a_few_readings_foretell_the_garage",),
    70: (
        "science/air/test_calibrated_place.py::"
        "test_under_two_readings_that_count_it_says_how_many_more",
    ),
    # what cannot be
    71: (
        "weather/test_record_2013.py::"
        "test_a_wind_of_a_thousand_miles_an_hour_never_reaches_a_piece",
        PLACE + "test_the_thousand_mile_wind_does_not_get_through",
        SEEN + "test_what_no_yard_ever_had_does_not_rub_off_on_the_hours_beside_it",
    ),
    72: (
        "weather/test_record_2013.py::test_a_false_frost_of_one_hour_in_may_is_missing",
        MET + "test_a_lone_spike_is_missing",
    ),
    73: (
        READ + "test_an_answer_without_any_temperature_is_no_weather",
        DOWN + "test_nothing_at_all_is_no_weather",
    ),
}


@cache
def names(file: str) -> frozenset[str]:
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))


def test_every_case_of_the_list_is_held() -> None:
    assert sorted(HELD) == list(range(1, 74))


@pytest.mark.parametrize("number", HELD)
def test_the_tests_that_hold_a_case_exist(number: int) -> None:
    assert HELD[number]
    for test in HELD[number]:
        file, _, name = test.partition("::")
        assert name in names(file), f"case {number}: {test} is gone"
