"""What a shop has and how long it takes: covers, minutes of work."""

TEMPLATES = {
    "plan_too_few_covers": "every start asks for {needs:0} of {cover}, and the shop has {there:0}",
    "plan_covers_taken": (
        "every start asks for a cover ({cover}), and all of those lie on others until {until_at}"
    ),
    "learned_strip": "stripping {times:%} of that, from {told:0} that you timed",
    "learned_turn": "turning {times:%} of that, from {told:0} that you timed",
    "learned_finish": "sanding and finishing {times:%} of that, from {told:0} that you timed",
    "gain_one_blanket": "one more blanket: {saved_h:0} less late over all pieces",
    "gain_one_blanket_sooner": "one more blanket: {order} may be promised {saved_h:0} sooner",
}
