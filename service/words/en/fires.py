"""Fires one after the other, and what a burner asks for."""

_DONE = {2: "second", 3: "third", 4: "fourth", 5: "fifth"}

TEMPLATES = {
    **{f"step.fire-{number}": f"{word} fire" for number, word in _DONE.items()},
    **{f"doing.fire-{number}": f"{word} slow fire" for number, word in _DONE.items()},
    "fire_stage": "fire {number:0} of {stages:0}: burner low or a small fire, {burn_min:0}, no face over {most_C:0}. Look and listen: steam, ticking or a damp patch means off at once, and the same fire again another day. Feel its far side when it is out. Then wait a day",
    "fire_back": "Rain fell on it since: once it is dry again, fire {number:0} comes first, and this one a day later.",
    "fire_no_yes": "Closed until a fitter said yes: tell it under Correct the pour.",
    "burner_asks": "Before any flame: a licensed fitter connects and tries it; openings low and high, since heavier gas lies on the ground; the gap about the pan and the shut-off are as the maker of the appliance says, under local code.",
    "since_last_fire_h": "hours since the last fire",
}
