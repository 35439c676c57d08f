"""How many covers a shop has."""

TEMPLATES = {
    "plan_too_few_covers": "every start asks for {needs:0} of {cover}, and the shop has {there:0}",
    "plan_covers_taken": (
        "every start asks for a cover ({cover}), and all of those lie on others until {until_at}"
    ),
    "gain_one_blanket": "one more blanket: {saved_h:0} less late over all pieces",
    "gain_one_blanket_sooner": "one more blanket: {order} may be promised {saved_h:0} sooner",
}
