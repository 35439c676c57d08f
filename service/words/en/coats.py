"""The coat plan, and sealers."""

TEMPLATES: dict[str, str] = {
    # what each coat waits for
    "recoat_from": "Not before {ready_at:up}, {after_h:1} after the coat under it.",
    "recoat_from_until": "Not before {ready_at:up}, {after_h:1} after the coat under it;"
    " not after {last_at:down} ({limit_h:0}), else abrade first.",
    "recoat_not_dry": "The coat under it does not dry within the forecast.",
    "recoat_not_dry_until": "The coat under it does not dry within the forecast;"
    " not after {last_at:down} ({limit_h:0}), else abrade first.",
    "recoat_too_late": "Too late for a bond since {last_at}: abrade first, wipe, then coat.",
    "recoat_will_be_late": "No hour up to {last_at}, the end of the recoat window, holds:"
    " abrade first, wipe, then coat.",
    "coat_limits": "RH up to {max_rh:%}, {min_C:3gn} to {max_C:3g}, to hold until it is dry;"
    " no rain for {rain_free_h:g} unless the next coat covers it.",
    "coat_limits_last": "RH up to {max_rh:%}, {min_C:3gn} to {max_C:3g}, to hold {hold_h:g} after"
    " it; no rain for {rain_free_h:g} unless the next coat covers it.",
    "coats_not_sure_enough": "no plan is safe ({confidence:odds}); as the forecast stands it is"
    " {chance:hope}: measure before each coat",
    "coats_not_sure_in_hand": "{chance:hope} that it goes on, but the hours after it, or a tenth of"
    " its recoat window in hand, are not safe ({confidence:odds}): measure before each coat",
    "coat_hours_unplanned": "no hour of the forecast is good enough",
    "coat_missed": "Too late for a bond: abrade the last coat, wipe, then coat.",
    "coat_sheet_first": "The product's own sheet goes first.",
    "coat_measure_first": "Measure before you begin: the face by infrared, air and humidity beside"
    " it.",
    "coat_while_cooling": "Seal while the piece cools, not while the sun warms it.",
    "coat_solvents": "Solvents and two-part sealers: fresh air, gloves, the mask of their safety"
    " sheet, no flame.",
    # the ways of the next coat
    "coat_way_here": "here",
    "coat_way_roof": "under a roof",
    "coat_way_indoors": "indoors",
    "coat_way_indoors_heat": "indoors with electric heat at {setpoint_C:0}",
    "coat_way_indoors_fan": "indoors with a fan",
    "coat_way_heat": "with electric heat at {setpoint_C:0}",
    "coat_way_fan": "with a fan",
    "coat_way_tent": "in an electrically heated tent at {setpoint_C:0}",
    "coat_way_ready": "the piece and the air are ready",
    # the plan as a whole
    "coats_no_forecast": "No forecast ahead: no coat is planned.",
    "coat_at": "coat {coat:0} {at}",
    "coats_sure": "Safe: {coats:, }",
    "coats_sure_by_itself": "Each safe by itself, not all together: {coats:, }",
    "coats_as_forecast": "Only probably, as the forecast stands: {coats:, }",
    "coats_beyond": " No hour of the forecast is long enough from coat {coat:0} on.",
    "coats_tightest": "The tightest hour: face {spread_K:1} above the dew point,"
    " humidity {most_rh:%}.",
    "coats_planned": "{groups:. }. That all of it works out: {chance:hope}.{beyond} {tightest}",
    "coats_after_forecast": "Not dry or old enough before the forecast ends ({end_at}), but about"
    " {ready_at:up}. Check again then.",
    "coats_no_run": "No spell in this forecast is long enough for the coats left. Best chance of"
    " a single coat: {best_chance:hope}.",
    "coats_not_today": "Not today: {fails:; }.",
    "coat_not_today": "Not today: coat {coat:0} at {begin_at} needs the air until {until_at}:"
    " {fails:; }.",
    "coats_not_all_today": "Not all today: coat {coat:0} could go on at {begin_at}, but coat"
    " {next_coat:0} at {next_at} needs the air until {until_at}: {fails:; }.",
    "coats_split": "Split over two days, coat {coat:0} today at {begin_at}, coat {next_coat:0}"
    " would be due by {due_at} ({limit_h:0}) and no hour up to then holds: it would have to be"
    " abraded first.",
    "coat_fails_from": "{fails} from {at}",
    "coat_fails_spread": "the face comes within {margin_K:1} of the dew point",
    "coat_fails_humidity": "humidity passes {max_rh:%}",
    "coat_fails_cold": "the face is under {min_C:3g}",
    "coat_fails_hot": "the face is over {max_C:3g}",
    "coat_fails_rain": "rain falls on it",
    "coat_fails_piece": "the piece is not dry or old enough, the sun is on it, or it is too hot",
    # sealers
    "chemistry.water-based-acrylic": "water-based acrylic",
    "chemistry.solvent-acrylic": "solvent acrylic",
    "chemistry.silane-siloxane": "silane/siloxane",
    "chemistry.two-part-urethane": "two-part urethane",
    "chemistry.epoxy": "epoxy",
    "chemistry.densifier": "densifier",
    "chemistry.wax": "wax",
    "sealer": "{chemistry}",
}
