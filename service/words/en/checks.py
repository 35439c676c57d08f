"""Checks by hand and their answers; none marks a face that is seen later."""

TEMPLATES = {
    "cover_odds": "That a corner freezes: {chance:odds} without it, {after:odds} with it.",
    "cover_by": "{remedy} on by {act_by_at:near by}",
    "check_finish": "Thumb on a scrap or an edge: it takes a mark about {6_mm:0} deep.",
    "check_takes_mark": "Takes a mark",
    "check_firm": "No mark: firm",
    "check_cover": "Thumb on a hidden edge: it leaves no mark.",
    "check_still_marks": "Still marks",
    "check_knock_out": "Nail on the knock-out's rim: it marks but does not dent.",
    "check_no_dent": "No dent",
    "check_still_dents": "Still dents",
    "check_strip": "Nail on a hidden edge: it leaves no dent.",
    "check_still_soft": "Still soft",
    "check_sand": "Nail across the underside: it leaves no groove.",
    "check_no_groove": "No groove",
    "check_leaves_groove": "Leaves a groove",
    "check_film": "Clear film taped on overnight: dry under it.",
    "check_film_dry": "Dry under it",
    "check_film_wet": "Wet or dark",
    "check_drop": "A drop of water: it stands for a minute.",
    "check_drop_stands": "It stands",
    "check_drop_soaks": "Soaks in",
    "check_corner": "Wet the coldest corner and chip a crumb off its edge: no prints like needles or"
    " ferns, no deeper scratch than mid-face.",
    "check_corner_sound": "Sound",
    "check_corner_frosted": "Prints of ice",
}
