"""Alerts, heat that burns inside, evaporation, what would bring a step earlier."""

FREEZES = (
    "frost: {chance:%} chance that the coldest corner freezes before {need_MPa:g},"
    " from {from_at} on"
)
HEAT_IT = "warm it with electric heat or carry it into a room"
FAST = "evaporation: up to {rate_kg_m2h:2} in the first hours, limit {limit_kg_m2h:gn}"

TEMPLATES = {
    "alert_frost_no_cover": f"{FREEZES}; no cover you own helps: {HEAT_IT} {{by}}",
    "alert_frost_cover_leaves": (
        f"{FREEZES}; {{cover}} at once still leaves {{after_chance:%}}: {HEAT_IT}"
    ),
    "alert_frost_cover": f"{FREEZES}; {{cover}} on {{by}} brings it to {{after_chance:%}}",
    "hours_if_covered": (
        "the hours below hold if {cover} is on by {at}; the chance of frost is told without it until"
        " you say that it lies there"
    ),
    "young_after_watch": (
        "still young: it bears no frost (under {need_MPa:g}) when the {watched_h:g} h ahead that are"
        " watched end; sure to bear one: {bears}. Later nights are watched as they come near"
    ),
    "alert_rain": (
        "rain: {chance:%} chance of rain on the open face before it has set, from {from_at} on;"
        " film held off the face, weighed down, {by}"
    ),
    "alert_wind": (
        "wind: {chance:%} chance of more than {bears_m_s:g} at the piece, from {from_at} on; weigh"
        " the cover down along every edge {by}"
    ),
    "act_by": "by {at}",
    "act_at_once": "at once",
    "weights": "weights",
    "frost_froze": "frost: {why}",
    "frost_may_come": (f"{FREEZES}, down to {{lowest_C:1}}; blanket or electric heat before then"),
    "frost_may_have_come": (
        "frost: {chance:%} chance that the coldest corner froze before {need_MPa:g}, about"
        " {about_at}; scratch that corner beside a sound place before the next step"
    ),
    "if_it_froze": (
        "if it froze: {depth_mm:0} deep from the corner, with {strength_left:%} of its strength left"
        " there; strip {strip}, turn {turn}{settles}"
    ),
    "frost_later": (
        "frost again: {chance:%} chance from {from_at} on, down to {lowest_C:0}, while it is wet and"
        " under {least_MPa:0}: it bears one frost, but many while wet scale its face. Keep rain and"
        " puddles off it, let air to it, end wetting before the frost, or keep it under a blanket"
    ),
    "at_hour": "{at}",
    "not_in_sight": "not in sight",
    "look_settles": (
        "; a look settles it: wet the corner and chip a crumb off its edge; prints of ice like"
        " needles or ferns, or a corner that scratches deeper than the middle of the face, mean"
        " frost. Save what you find as a look at the corner; a broken cube that lay beside it tells"
        " as much"
    ),
    "fumes": (
        "carbon monoxide: a heater that burns into a closed place kills people asleep in rooms"
        " beside it; lead its fumes outdoors or use electric heat, with a carbon monoxide alarm"
        " outside every room where people sleep. Its carbon dioxide chalks the fresh face too,"
        " which dusts for good."
    ),
    "heat_untold": (
        "heat: what heats the enclosure was not told; taken as electric, for a heater that burns"
        " inside it gives carbon monoxide and chalks the face"
    ),
    "efflorescence": (
        "white bloom: {chance:%} chance that the young face is wet by rain or dew and under"
        " {under_C:0} for hours, from {from_at} on, which draws lime to it, worst on dark colours;"
        " keep rain and dew off it by a roof or a cover held off the face, with air under it"
    ),
    "polymer_kept_wet": (
        "polymer: under a wet cover for more than {most_h:0} its polymer makes no film; take it off,"
        " and let it dry in the air"
    ),
    "hot_harms": "hot: the section may reach {hottest_C:0}; over {limit_C:0} it is harmed",
    "hot_early_cure": (
        "hot early cure: early strength comes fast, 28-day strength may be 5 to 20 % lower"
    ),
    "evaporation_high": f"{FAST}: {{less}}",
    "evaporation_watch": f"{FAST}: watch the face, have the film ready",
    "cover_at_once": "cover the face as soon as it bears film",
    "look_for_cracks": "look for fine cracks in the face before it is honed or sealed",
    "measures_by_cost": ("in kg/m2h (limit {limit_kg_m2h:gn}), by what it costs: {measures:, }"),
    "measure_leaves": "{measure} {rate_kg_m2h:2n}",
    "measure": "{measure}",
    "measure.fog": "fog over the face",
    "measures_all": "all of shade, wind break and fog",
    "start_at": "a start at {at}",
    "cold_water": "water at {water_C:g} (concrete {mix_C:0})",
    "blanket_from_now": "a blanket over the top and down the sides from now on",
    "heat_from_now": "electric heat at {setpoint_C:g} around it from now on",
    "earlier_by_h": "{change}: {gain_h:0} earlier",
    "earlier_by_days": "{change}: {gain_days:0} days earlier",
    "sure_at": "{change}: {at}",
}
