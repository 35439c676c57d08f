"""What was used of weather and readings, what is missing, and what contradicts."""

READ = "the {reading} reading of {read_C:1} at {at} can't be right here (expected about {foreseen_C:0})"
OR_NIGHT = "or type tonight's low and tomorrow's high"

TEMPLATES = {
    "no_weather": "Without weather castclock can't say when: {why}.",
    "no_moisture_no_drying": (
        "Without the moisture of the air castclock can't judge drying, coats and evaporation: {why}."
    ),
    "no_coat_planned": "No coat can be planned. {why}",
    "no_moisture": (
        "no weather service tells the moisture of the air ({source}, from {since_at} on)"
    ),
    "unknown": "{what}: {why}; {how}",
    "the_weather": "weather",
    "typical_tells_nothing": ("{source}: it says nothing of the hours since placing, {placed_at}"),
    "no_weather_at_placing": (
        "no weather at the time of placing, {placed_at}; the record runs {begin_at} to {end_at}"
    ),
    "no_weather_from": "no weather from {at} on",
    "get_weather": "fetch a forecast, load a CSV, or type a low and a high",
    "get_weather_of_the_night": f"fetch a forecast, load a CSV, {OR_NIGHT}",
    "the_weather_now": "the weather now",
    "no_such_hour": "the record has no such hour",
    "get_forecast_or_night": "fetch a forecast, or type a low and a high",
    "the_weather_of_a_file": "the weather",
    "file_names_none": "{file} names none",
    "give_weather": (
        "give --weather FILE.csv, or [weather] file, or night_low_C and day_high_C, in it"
    ),
    "weather_at": "the weather at {name}",
    "forecast_too_old": ("the last forecast is {age_h:0} old, and none counts after {longest_h:0}"),
    "nothing_fetched": "no forecast has been fetched yet",
    "wait_for_weather": f"wait for the weather service, {OR_NIGHT}",
    "place_without_coordinates": ("no forecast for this place yet"),
    "give_coordinates": "type tonight's low and tomorrow's high, or set where the place is",
    "weather_typed": "weather {source}; a forecast or a reading would make this surer",
    "forecast_is_old": "the forecast is {age_h:0} old: {source} gave none since",
    "clock_off_longitude": (
        "the clock of {name}, {zone}, does not fit its longitude of {longitude:g}: typed nights lie"
        " hours off; correct one of the two"
    ),
    "how_a_place_follows": "how this place follows the weather",
    "no_readings": "no air readings yet",
    "too_few_readings": "{readings} air reading{readings:|s} so far",
    "get_readings": "{readings} more, of the air or of a max-min thermometer, hours apart, and castclock can learn this place",
    "lacking_so_far": "{why}; {how}.",
    "placed_held": (
        "how warm the concrete is was not measured: bags, water or air would make it {found_C:0},"
        " and {held_C:0} is assumed; measure it when it is placed"
    ),
    "water_held": (
        "with the water added there is {water_cement:2} of water to one of cement: it gets only"
        " weaker by all of it, and how it dries is taken as at {held_water_cement:g}, the most that"
        " was ever measured; correct the water if that is not so"
    ),
    "hours_bridged": "{hours_missing} missing hours of air temperature interpolated",
    "no_weather_after": (
        "no weather after {at}, {gap_h:0} before now: what was not reached by then cannot be judged"
    ),
    "typical_weather": (
        "{source}: the air may be {sd_K:0} warmer or colder at any hour,"
        " and no coat is planned by it"
    ),
    "stale_weather": "stale weather: {age_h:0} old; the doubt grows with its age",
    "reading.air-min-max": "min-max",
    "reading.initial-set": "initial set",
    "reading.final-set": "final set",
    "reading_settled": f"{READ}: a second reading settles it",
    "reading_warmer": f"{READ}: kept, not used until a second reading agrees with it",
    "reading_colder": (
        f"{READ}: the colder counts until a second reading agrees with either, or the reading is"
        " marked as wrong"
    ),
    "set_contradicts": (
        "the {reading} seen after {after_h:1} can't be right for this mix: kept, not used"
    ),
    "test_contradicts": (
        "the {test} result of {result_MPa:g} can't be right here (expected about {foreseen_MPa:1} in"
        " compression): kept, not used"
    ),
    "heat_was_off": (
        "inside the {cover} it read {read_C:1} at {at}, kept at {setpoint_C:g}: its heat counts as"
        " off around then"
    ),
    "tile_contradicts": (
        "the tile's loss of {lost_pct:2} up to {at} can't be right here (expected about"
        " {foreseen_pct:2}): kept, not used"
    ),
    "film_dry_no_proof": "the film of {at} was dry underneath: no proof, weigh a tile as well",
    "film_wet_contradicts": ("the wet film of {at} was not expected: the coat waits all the same"),
    "price_days": "{days} in the mould",
    "price_money": "{days} in the mould, costs about {money}",
}
