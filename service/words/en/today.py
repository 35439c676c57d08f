"""The first page: what presses, what the night may do, and what was typed about it."""

TEMPLATES = {
    "night_low": "{low} outdoors{frost}",
    "today_frost_cover": (
        "Without it {chance} that a corner freezes, from about {from_at:near} on; with it {after}."
    ),
    "today_frost": (
        "{chance} that a corner freezes, from about {from_at:near} on. No cover you own is enough:"
        " electric heat, or carry it into a room."
    ),
    "today_frost_later": (
        "{chance:odds} of frost from about {from_at:near} on, down to {lowest_C:0}, before it bears"
        " many: keep rain off it and let air to it, or keep it under a blanket."
    ),
    "today_rain": "{chance} that it rains on the open face before it has set, from {from_at:near}.",
    "today_wind": "{chance} that wind takes the cover, from {from_at:near} on.",
    "to_do": "{do}",
    "do_first": "{doing} first",
    "do.weights": "weigh the cover down along every edge",
    "do.heat": "warm it or carry it in",
    "bears_from": "bears no frost until {bears_at:near}; it gets {low}, {chance} that it freezes",
    "bears_not_yet": "bears no frost yet; it gets {low}, {chance} that it freezes",
    "typed_night": "{low} tonight{frost}, {high} tomorrow",
    # the ways to pour, and what may go wrong in them
    "verdict_yes": "Yes",
    "verdict_yes_way": "Yes, {way}",
    "verdict_indoors": "Not there, but {way}",
    "verdict_no": "No",
    "verdict_typical": "No forecast, so no",
    "under_way": "under {way}",
    "warm_the_water": "mix with water at {water}",
    "may_go_wrong": "{chance} that {fails}",
    "fails.freezes": "a corner freezes while it is young",
    "fails.too_cold": "the mix is too cold to place",
    "fails.too_hot": "the mix is too hot to place",
    "fails.dries": "the face dries too fast",
    "fails.rain": "rain falls on the open face before it has set",
    "fails.frozen_ground": "the ground under it is frozen",
    "fails.frozen_mould": "the mould or the steel is frozen",
    "fails.wind": "wind takes the cover",
    "fails.late": "you float outside your hours",
    "fails.stiff": "it stiffens before it is placed",
    "short_fails.freezes": "frost",
    "short_fails.too_cold": "cold mix",
    "short_fails.too_hot": "hot mix",
    "short_fails.dries": "dries",
    "short_fails.rain": "rain",
    "short_fails.frozen_ground": "ice",
    "short_fails.frozen_mould": "ice",
    "short_fails.wind": "wind",
    "short_fails.late": "late",
    "short_fails.stiff": "stiffens",
    # a way in the width of a cell of the week
    "cell.wet cover": "wet cover",
    "cell.two blankets": "blanket ×2",
    "cell.heated enclosure": "heat",
    "as_outdoors": "as cold as outdoors",
    "warmer_here": "{size} warmer than outdoors",
    "colder_here": "{size} colder than outdoors",
    "nothing_likely": "nothing is likely to go wrong",
    "heat_first": "{heat} from {at:near}, until mould and base are at {base_C:0}",
    "a_frost": ", a frost",
    "a_hard_frost": ", a hard frost",
}
