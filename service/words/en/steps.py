"""The reason of a window, what a step asks for, what would help most, cautions of the steps."""

NEEDED = {
    "": 2,
    "_MPa": 1,
    "_pct": 0,
    "_K": 1,
    "_kg_m2h": 2,
    "_d": 1,
    "_h": 1,
    "_y": 1,
}  # unit, decimals
NOTHING_NEWER = ", and nothing newer is known. Then:"

TEMPLATES = {
    "text": "{text}",
    # words of the vocabulary of steps
    **{f"step.coat-{number}": f"coat {number}" for number in range(1, 21)},
    "step.knock-out": "knock out",
    "step.dry-to-seal": "dry enough to seal",
    "step.end-wet-cure": "end wet cure",
    "step.rain-safe": "rain safe",
    "step.light-use": "light use",
    "step.full-use": "full use",
    "step.load": "load",
    "step.install": "install",
    "step.first-heating": "first heating",
    "step.de-icing": "de icing",
    "step.last-coat": "the last coat",
    # why a step stands where it stands
    "step_waits_for": "Follows {step}, which is too uncertain to say yet.",
    "after_step": "after {step}",
    "after_step_not_done": "{step} comes first",
    **{
        f"needs{unit}": f"{{quantity}}: {{need{unit}:{places}}} needed{{also}}"
        for unit, places in NEEDED.items()
    },
    **{
        f"has_and_needs{unit}": f"{{quantity}} about {{now{unit}:{places}}}"
        f" ({{low{unit}:{places}n}} to {{high{unit}:{places}n}}),"
        f" {{need{unit}:{places}}} needed{{also}}"
        for unit, places in NEEDED.items()
    },
    **{
        f"not_reached_then{unit}": "may not get there within {within_d:0n} days; at worst"
        f" {{end{unit}:1}} by then"
        for unit in NEEDED
    },
    "not_reached": "may not get there within {within_d:0n} days",
    # the same of one quantity in particular
    **{
        f"{code}.{quantity}": text
        for quantity, set_ in (("of_initial_set", "set"), ("of_final_set", "hard set"))
        for code, text in (
            ("needs", f"ready at about {{need:%}} of the way to {set_}{{also}}"),
            (
                "has_and_needs",
                f"about {{now:%}} of the way to {set_}, ready at about {{need:%}}{{also}}",
            ),
            ("not_reached_then", "may not get there within {within_d:0n} days"),
        )
    },
    "hours_that_count": "{clock_h:0} old, but in this cold that counts as {counted_h:0n}",
    "weather_known_until": "no weather after {at}",
    "window_too_short": "the clock can't tell closely here: go by the check from {at:up} on",
    "typical_year": "in a typical year; there is no forecast",
    "beyond_forecast": "after the forecast ends ({at}): from an average day of its record",
    "look_for_frost": "Look for frost first, as said above: {chance:odds} that it froze, about"
    " {about_at}. Until the corner was looked at, nothing may lean on its strength.",
    "frozen_see_above": "Waits until it is known whether the piece froze, as said above.",
    "dry_after_forecast": "not dry enough before the forecast ends, about {at:up}: check again"
    " then",
    "no_hour_holds": "no spell in this forecast is long enough to dry in (best chance"
    " {best_chance:hope})",
    "held_back": "the steps before it come first",
    "readings_disagree": "A reading disagrees with what was expected ({value_C:1} at {at},"
    " {foreseen_C:1} expected): the colder of both counts. Read again in the shade, with"
    " another thermometer if there is one; or mark the instrument as wrong.",
    "stale_min": f"Last updated {{age_min:0}} ago{NOTHING_NEWER}",
    "stale_h": f"Last updated {{age_h:0}} ago{NOTHING_NEWER}",
    "stale_days": f"Last updated {{age_days:0}} days ago{NOTHING_NEWER}",
    "stale_ahead": f"Last updated by a clock that was ahead{NOTHING_NEWER}",
    "probably_frozen": "Probably frozen since {at}, before it had {limit_MPa:g} ({chance:odds}): leave the"
    " mould on, bring it slowly over {over_C:0} and keep it there wet for three days, then try a"
    " corner or break a cube before anything else{settles}.",
    "reading_would_settle": "; a max-min reading beside it would settle whether it froze",
    "strength_unknown": "only the class of the mix is known: the strength printed on the bag, a cube"
    " broken beside it or a nail that leaves no mark would tell more",
    # the condition that opens last
    **{
        f"last_{code}": f"{text} comes last{{comes}}"
        for code, text in {
            "final_set": "the final set",
            "core": "the core, which goes first,",
            "damp_cure": "the end of the wet cure",
            "worked": "sanding and honing",
            "air_all_round": "air all round for {wait_h:0} after strip",
            "patch": "the patch, {wait_h:0} at room warmth,",
            "curing_days": "the number of curing days",
            "polymer_film": "the night under film",
            "face_within": "a face within {within_K:0} of the coldest air of the next day",
            "film": "the film of the last coat",
            "face_dry": "a face that was dry for {wait_h:0}",
            "dry": "dryness ({target_rh:%} pore humidity at the test depth)",
            "age": "its age ({least_d:g})",
        }.items()
    },
    "comes_at": ", {at}",
    # how dry it is
    "dry_enough": "Dry enough at {target_rh:%} pore humidity at the test depth.",
    "dry_enough_now": "Dry enough at {target_rh:%} pore humidity at the test depth, now {now_rh:%}"
    " ({low_rh:%} to {high_rh:%}).",
    "dry_enough_now_losing": "Dry enough at {target_rh:%} pore humidity at the test depth, now"
    " {now_rh:%} ({low_rh:%} to {high_rh:%}), losing {loss_pct:2} of its mass a day.",
    "tile_lost": "The tile lost {loss_pct:2} a day between its last two weights; under"
    " {limit_pct:g} its mass is called constant.",
    "drying_counts_from_cure": "Drying counts from the end of the wet cure, which comes first.",
    "tile_is_dry": "The tile's mass is constant: that counts as dry, a dry film alone would not.",
    "film_was_wet": "A taped film was wet: wait, and tape again {at}.",
    "least_age": "Least age {least_d:g}.",
    "choose_a_sealer": "No sealer is chosen: choose one, then its coats and the use of the piece get"
    " their hours. Silane, solvents and two-part sealers mostly ask for {most_age_d:g} of age, a"
    " tight film for {tight_rh:%} pore humidity.",
    # what is asked for
    "of_initial_set": "of the way to set",
    "of_final_set": "of the way to hard set",
    "early_evaporation": "evaporation in the first hours",
    "strength_walls": "strength of the walls",
    "strength_coldest": "strength at the coldest place",
    "strength_slowest": "strength at the slowest place",
    "strength_section": "strength of the section",
    "strength_to_turn": "strength, {turned}",
    "age": "age",
    "pore_humidity": "pore humidity at the test depth",
    "since_last_coat_h": "hours since the last coat",
    "since_last_coat_y": "years since the last coat",
    "days_over": "days over {over_C:g}",
    "patch_hours": "hours at room warmth before a coat",
    "surface_over_dew_point": "surface above the dew point",
    "weather_at_piece": "weather at the piece",
    "moisture_of_air": "moisture of the air",
    "or_polymer_film": ", or {film_h:g} h under film at {over_C:0} and more, by its polymer, whichever comes first",
    "or_days_at": ", or {days_d:g} of curing at {over_C:g} and more, whichever comes first",
    "last_struck_age": "an age of {age_h:0} at {at_C:0} comes last{comes}",
    "last_no_rain_on_it": "no rain on it under {need_MPa:0} comes last{comes}",
    "last_protection_days": "{days_d:g} under protection in cold weather come last{comes}",
    "turn_heat_down_first": "turn the heat down first, under the cover, by no more than {fall_K:0} in"
    " {in_h:0}: about {over_h:0}",
    "or_curing_days": ", or the days of EN 13670 at half of it, whichever comes first",
    "and_face_within": ", and the face no more than {within_K:0} warmer than the coldest air of the next day",
    "and_dry_for_fire": ", and dry, whichever is later: {dry_pct:g} by mass, or {most_pct:g} with"
    " {probe_rh:%} at the test depth and under {constant_pct:g} of mass lost or gained in"
    " {within_d:0n} days in the open without rain",
    "air_does_not_dry": "this air does not dry it so far within {within_d:0n} days; under a roof or"
    " in a warm dry room it dries sooner",
    # notes and checks of the steps
    "check_thumb": "check: a thumb leaves a mark of about {mark_mm:g}",
    "check_nail_dent": "check: a nail marks it but does not dent",
    "check_nail_scratch": "check: a nail scratch leaves no groove",
    "sand_wet_in_cure": "sooner only wet, and kept damp after: dry sanding ends the wet cure",
    "evaporation_passes": "evaporation reaches {rate_kg_m2h:2} ({limit_kg_m2h:g} is the limit): keep the"
    " face covered on a frame from the start, open only to finish",
    "evaporation_stays": "evaporation stays at {rate_kg_m2h:2}, under {limit_kg_m2h:g}",
    "turn_bending": "{turned}, bending is {bending_MPa:2}.",
    "turn_rougher": "{turned} it would need {need_MPa:0} (bending {bending_MPa:1} with the jerk).",
    "film_hours": "{after_h:g} after the last coat, longer in the cold",
    "years_outdoors": "{least_y:gn} to {most_y:gn} years outdoors.",
    "drop_test": "The drop test goes before the calendar: a drop that soaks in within a minute says"
    " now.",
    "moisture_then": "about {low_pct:1n} to {high_pct:1} by mass at {after_d:0n} days; weigh it to"
    " be sure",
    "patch_care": "keep it moist and at {least_C:g} or more; sand after {sand_h:g}, coat after"
    " {coat_h:g} at {20_C:0}, twice as long in the cold",
    # what to do when a window is past
    "missed_finish": "The face has set: leave it, hone it later, or bring a thin bonded skim coat.",
    "missed_cover": "Mist the face and cover it now; look for fine cracks.",
    "missed_knock_out": "It's stuck: take the block out in pieces, don't hammer it.",
    "missed_core": "The core is stuck: take it out in pieces from the middle, don't hammer it.",
    "missed_turn": "One face has dried: damp it, wait a day, then turn.",
    # cautions
    "no_certificate": "The tool estimates; it does not certify a structure: for anything that"
    " carries people or is built in, local codes and a licensed engineer decide.",
    "gloves": "Wet cement burns: gloves, glasses, wash at once.",
    "dust": "Sanding and cutting raise respirable silica dust: wet or with extraction at the tool,"
    " a mask (FFP3 or P100), nobody else near; dry sweeping raises it again.",
    "no_pry": "Pry against the mould, never against green concrete.",
    "inserts_still_level": "Inserts: still level, none sunk or turned? Now they can be set right.",
    "no_bleed_water": "Never trowel bleed water in; never add water to a stiffening face.",
    "film_off_fresh_face": "Film that touches a fresh face mottles it: hold it off until the face"
    " is firm.",
    "slacken_wedges": "Slacken every wedge first; lift straight.",
    "wood_sugar_face": "Sugars of new plywood hold a face's setting back: where it rubs off or feels"
    " soft, close the mould again and give it another day.",
    "wet_edges_chip": "Wet edges chip: draw screws, slide boards off.",
    "open_both_faces": "Uncover both faces at once, or it will curl.",
    "film_off_whole": "Film that touches the face in places mottles it: lift it off whole, at"
    " once.",
    "one_face_dries_ahead": "One face dries ahead by {ahead_rh:%} of pore humidity: about"
    " {bow_mm:1} of bow over {length_mm:0}. Keep the open face damp until the other one is free.",
    "lift_with": "{mass_kg:0}: {hands}; foam under the edge, nobody beneath.",
    "lift_by_hoist": "a hoist or gantry, over {team_kg:0} no team lifts it",
    "lift_alone": "one person lifts up to {one_kg:0} near the body (guidance, HSE L23)",
    "lift_by_team": "{people:0} people to lift it, since {fewer:0} lift {fewer_kg:0} and {people:0}"
    " {team_kg:0n} (guidance, HSE L23: {one_kg:0} for one, two about two thirds of their sum, three"
    " half)",
    "break_suction": "Break the suction first; clamp the mould board or a strongback on.",
    "loosen_first": "First loosen it and wait, so that the face cools slowly: no more than {fall_K:0} in {in_h:0}.",
    "wet_bears_less": "Wet from outside, under a wet cover or by rain, it bears a frost from"
    " {wet_MPa:0} on; kept dry from {dry_MPa:1} on.",
    "wet_honing": "Wet honing wets the piece: drying starts again.",
    "engineer_decides": "For anything that carries people, local codes and a licensed engineer"
    " decide.",
    "film_to_powder": "Under {under_C:g} before it is dry a film turns to powder: keep it warmer.",
    "no_salt_first_winter": "Better one winter without any salt: sand instead. Never ammonium"
    " salts.",
    "frost_while_wet": "Frost while it is wet: {least_MPa:0} or more, and water that can run off.",
    "clean_before_reseal": "Clean and let it dry for two days first; scuff a film.",
    "small_fires": "One small fire a day, cooling between, the hottest face at {60_C:0n},"
    " {100_C:0n}, {150_C:0n}, {200_C:0n}, {250_C:0}, about 4 h each; stop while it steams."
    " Portland is no castable: not over {250_C:0}.",
    "fire_trade_disagrees": "The trade disagrees: about 30 days and then low fires, or 2 days and"
    " then five very low fires; 3 % of moisture (EN 1992-1-2) or 3 to 4 % (Danish report). The"
    " later and drier one is used.",
    "no_film_by_fire": "No film sealer on faces that pass {60_C:0n} to {80_C:0}.",
    "moist_spalls": "Moist concrete near a flame can spall: dry it, then heat it slowly.",
    "gas_rules": "Gas, burners, clearances and vents: the appliance maker, local code and a"
    " licensed installer decide; where they differ from this, they are right.",
    # what would help most
    "evidence_weather": "A forecast, or tonight's low typed in.",
    "evidence_next_tile": "The tile's next weight, at the same hour, would say most about when it"
    " is dry.",
    "evidence_weights": "Daily weights of the piece or a witness tile would say most about when it"
    " is dry.",
    "evidence_probe": "A thermometer in the concrete would narrow the windows most.",
    "evidence_max_min": "A max-min thermometer beside the piece overnight would narrow the windows"
    " most, then a probe in the concrete.",
    "evidence_second_test": "A second cube or bar, a day later, would narrow the windows most.",
    "evidence_first_test": "Breaking a cube or bar cured beside the piece would narrow the windows"
    " most.",
}
