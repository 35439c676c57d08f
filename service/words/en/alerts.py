"""Alerts, heat that burns inside, evaporation, what would bring a step earlier."""

FREEZES = (
    "frost: {chance:odds} that the coldest corner freezes before it has {need_MPa:g},"
    " from {from_at:down} on"
)
HEAT_IT = "warm it with electric heat or carry it into a room"
FAST = "evaporation: up to {rate_kg_m2h:2} in the first hours ({limit_kg_m2h:g} is the limit)"

TEMPLATES = {
    "alert_frost_no_cover": f"{FREEZES}; no cover you own helps: {HEAT_IT} {{by}}",
    "alert_frost_cover_leaves": (
        f"{FREEZES}; with {{cover}} at once still {{after_chance:odds}}: {HEAT_IT}"
    ),
    "alert_frost_cover": (
        "frost: {cover} on {by}; without it {chance:odds} that the coldest corner freezes before it"
        " has {need_MPa:g}, from about {from_at:down} on, with it {after_chance:odds}"
    ),
    "hours_if_covered": (
        "the hours below count on {cover} by {at:by}; the chance of frost is without it until you"
        " say that it is on"
    ),
    "young_after_watch": (
        "still young: it bears no frost (under {need_MPa:g}) for the {watched_h:g} that are watched"
        " ahead; safe from a first frost: {bears}. Later nights are watched as they come near"
    ),
    "alert_rain": (
        "rain: {chance:odds} that rain falls on the open face before it has set, from"
        " {from_at:down} on; film held off the face, weighed down, {by}"
    ),
    "alert_wind": (
        "wind: {chance:odds} that it blows more than {bears_m_s:g} at the piece, from"
        " {from_at:down} on; weigh the cover down along every edge {by}"
    ),
    "act_by": "by {at:by}",
    "act_at_once": "at once",
    "weights": "weights",
    "frost_froze": "frost: {why}",
    "frost_may_come": (f"{FREEZES}, down to {{lowest_C:1}}; blanket or electric heat before then"),
    "frost_may_have_come": (
        "frost: {chance:odds} that the coldest corner froze before it had {need_MPa:g}, about"
        " {about_at}; scratch that corner beside a sound place before the next step"
    ),
    "if_it_froze": (
        "if it froze: {depth_mm:0} deep from the corner, with {strength_left:%} of its strength left"
        " there; strip {strip}, turn {turn}{settles}"
    ),
    "frost_later": (
        "frost again: {chance:odds} from {from_at:down} on, down to {lowest_C:0}, while it is wet and"
        " under {least_MPa:0}: it bears one frost, but many while wet scale its face. Keep rain and"
        " puddles off it, let air to it, end wetting before the frost, or keep it under a blanket"
    ),
    "at_hour": "{at:up}",
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
        "heat: nobody said what heats the enclosure; taken as electric, for a heater that burns"
        " inside it gives carbon monoxide and chalks the face"
    ),
    "efflorescence": (
        "white bloom: {chance:odds} that the young face is wet by rain or dew and under"
        " {under_C:0} for hours, from {from_at:down} on, which draws lime to it, worst on dark colours;"
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
    "measures_by_cost": (
        "what would bring it down (the limit is {limit_kg_m2h:g}), the cheapest first: {measures:, }"
    ),
    "measure_leaves": "{measure} to {rate_kg_m2h:2}",
    "measure": "{measure}",
    "measure.fog": "fog over the face",
    "measures_all": "all of shade, wind break and fog",
    "start_at": "a start at {at}",
    "cold_water": "water at {water_C:g} (concrete {mix_C:0})",
    "blanket_from_now": "a blanket over the top and down the sides from now on",
    "heat_from_now": "electric heat at {setpoint_C:g} around it from now on",
    "earlier_by_h": "{change}: {gain_h:0} earlier",
    "earlier_by_days": "{change}: {gain_days:0} days earlier",
    "sure_at": "{change}: {at:up}",
}
