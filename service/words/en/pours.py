"""The pour check: ways to pour, why not, when, and what to mind."""

RISK = "{risk}: {chance:odds}"
COLD_WEATHER = (
    "Cold weather (air down to {lowest_C:0}): {code} asks for {wanted_C:0} as placed and kept in"
    " a section this thin;"
)

TEMPLATES = {
    "pour": "pour",
    "pour_no_cover": "Pour, no cover needed",
    "pour_under": "pour {way}",
    "wait": "wait",
    "way_bare": "bare",
    "way_warm_water": "warm mixing water",
    "way_cover": "{cover}",
    "way_cover_warm_water": "warm mixing water and {cover}",
    "stays.indoors": "into the shop's own room",
    "stays.open yard": "into the open yard",
    "stays.covered": "under a roof",
    "stays.unheated room": "into an unheated room",
    "stays.heated room": "into a heated room",
    "way_indoors": "indoors",
    "way_indoors_warm_water": "indoors with warm mixing water",
    "way_indoors_cover": "indoors with {cover}",
    "way_indoors_cover_warm_water": "indoors with {cover} and warm mixing water",
    "left_bare": "left bare",
    "with_way": "with {way}",
    "pour_starts": "Start {at}: {reasons:; }.",
    "way_fails": "{way}, {risks:, }",
    "even_way_fails": "even {way}, {risks:, }",
    "passes": "passes",
    "way_passes": "{way} {risk}",
    "nothing_against_it": "no risk stands out",
    "largest_risk": "the largest risk is {risk}: {chance:odds}",
    "strip_not_sure": "no safe hour to strip within two weeks",
    "strip_sure": "strip, safe from {at:up}",
    "strip_sure_only_in": "no safe hour to strip within two weeks, {way} {other_at:up}",
    "strip_sure_sooner_in": "strip, safe from {at:up}, {way} {saved_h:0} sooner",
    "no_hour_passes": "no good hour in this forecast, in any way you have: wait",
    "first_hour_passes": "first good hour: {at:up}, {way}",
    "no_later_hour_passes": "no later hour of the forecast is good",
    "pour_now_passes": "now, {way}, is good",
    "typical_clears_no_pour": "No pour is cleared on a {source}. In such a year: {because:; }.",
    "pour_hours_missing": (
        "{hours_missing} of the next {hours} hours are missing, the first {at}; a pour is cleared"
        " only with all of them"
    ),
    "risk": "{risk}",
    "risk.freezes": "freezing while it is young",
    "risk.too_cold": "concrete too cold to place",
    "risk.too_hot": "concrete too hot to place",
    "risk.dries": "evaporation",
    "risk.rain": "rain before final set",
    "risk.frozen_ground": "frozen ground under it",
    "risk.frozen_mould": "frozen mould or reinforcement",
    "risk.wind": "wind takes the cover",
    "risk.late": "floating outside your hours",
    "risk.stiff": "stiff before it is placed",
    "risk_C": f"{RISK} ({{value_C:3g}}, limit {{limit_C:gn}})",
    "risk_kg_m2h": f"{RISK} ({{value_kg_m2h:3g}}, limit {{limit_kg_m2h:gn}})",
    "risk_mm_h": f"{RISK} ({{value_mm_h:3g}}, limit {{limit_mm_h:gn}})",
    "risk_m_s": f"{RISK} ({{value_m_s:3g}}, limit {{limit_m_s:gn}})",
    "risk_min": f"{RISK} ({{value_min:3g}}, limit {{limit_min:gn}})",
    "risk_h": f"{RISK} ({{value_h:3g}}, limit {{limit_h:gn}})",
    "heat_from": (
        "{heat} from {at} before you pour: mould, base and tent together, until what the concrete"
        " meets is at {base_C:g}"
    ),
    "wood_sugar": (
        "Sugars of new plywood hold the setting of a face back and leave it soft or dusty, most of"
        " all from boards that lay in the sun: before their first uses brush them with lime or cement"
        " in water, let it dry, then the release agent; or seal them."
    ),
    "mixing_water": "mixing water at {water_C:0}",
    "mix_stiffens": (
        "about {left_min:0} before a mix at {mix_C:0} stiffens, placing takes {takes_min:0n}: a"
        " second mixer, cool bags and water, or a planned joint; add no water to loosen it"
    ),
    "rapid_mix": (
        "Rapid mix at {mix_C:0}: about {left_min:0} to place it, {label_min:0n} at {label_C:0};"
        " mix no more than goes in within that, cool bags and water, add none to loosen it."
    ),
    "no_float_in_three_days": "no float within three days",
    "float_about": "float about {at}, {why:, }",
    "in_the_dark": "in the dark",
    "in_the_dark_after": "in the dark (dusk {dusk_at:time})",
    "outside_hours": "outside {opens} to {closes}",
    "bare_face_dries": (
        "The bare face may lose {rate_kg_m2h:2} ({limit_kg_m2h:g} is the limit). The cheapest first:"
        " {measures:, }."
    ),
    "taken_since_not_told": ("Assumed: {taken:; }. Say so where you measure something else."),
    "part.mould": "mould",
    "taken_as_the_air": "{part:, } as warm as the air at the place",
    "ground_taken_as_three_days": "the ground as the mean air of three days",
    "nothing_on_ice": (
        "No concrete on frozen ground, in a frozen mould or about frozen steel (ACI 306.1): brush"
        " snow and ice off, thaw and warm it through over {0_C:0}, under blankets or in a room, and"
        " measure it before you pour. Frozen ground sinks when it thaws, and cold steel or board"
        " freezes what touches it."
    ),
    "code.ACI": "ACI 306R",
    "code.EN": "EN 206 with EN 13670",
    "other.ACI": "ACI 306R",
    "other.EN": "EN 206 with EN 13670",
    "codes_differ": "By {code} concrete goes in at {least_C:0} or more in this air and bears one"
    " frost, kept dry, from {frost_MPa:1} on; by {other} at {other_least_C:0} and from"
    " {other_frost_MPa:1} on.",
    "cold_weather_warm_bags": (
        f"{COLD_WEATHER} warm the bags too, water at {{water_C:0}} gives {{placed_C:0}}."
    ),
    "cold_weather_warm_water": (
        f"{COLD_WEATHER} with bags at {{bags_C:0}} that takes mixing water of {{water_C:0}}."
    ),
}
