"""What the command line prints on one screen."""

TEMPLATES = {
    "screen_next": "Next",
    "screen_step": "{step}",
    "screen_nothing_next": "Nothing has an hour yet.",
    "screen_head": "{name}: {state_shown}",
    "screen_probably": "probably from {at_shown}",
    "screen_safe": "safe from {at_shown}",
    "screen_late": "too late after {at_shown}",
    "screen_mind": "mind: {caution}",
    "screen_then": "Then",
    "screen_missed": "Missed, unless it was done and not said: {names}; --all says what helps.",
    "screen_unknown": "No hour yet: {names}.",
    "screen_did": "Done: {names}.",
    "screen_assumed": "Assumed, since the file does not say: {names}. Tell it, and hours come closer together.",
    "screen_evidence": "Would help most: {evidence}",
    "screen_all": "--all prints every reason, the plan, each coat and every caution.",
    "screen_ways": "Ways",
    "screen_all_ways": "{tried} starts and ways were tried; --all prints the week, --json every one.",
}
