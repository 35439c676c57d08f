"""Orders and the plan of the moulds."""

TEMPLATES = {
    "plan_no_orders": "no order is there: put one down with its date and its pieces",
    "plan_no_mix": "no mix is known for it: put one down, or tell it in the order",
    "plan_no_place": "no place is known for it: put one down, or tell it in the order",
    "plan_nothing_ordered": "no piece is ordered in it",
    "plan_no_mould": "no mould is built for {piece}",
    "plan_too_few_hands": "one act needs {needs:0} people at once, and the shop has {hands:0}",
    "plan_pour_too_long": (
        "its pour takes {work_h:1}, and no working day is longer than {worked_h:1}: told minutes or"
        " longer hours would help"
    ),
    "plan_start_fails": "{risk}: {chance:odds}",
    "plan_no_start": "no start until {until_at} is good in any way you have: {why}",
    "plan_moulds_held": "its moulds are not free at any start until {until_at}",
    "plan_never_free": "no mould would let go within four weeks",
    "plan_beyond_weather": (
        "no start is left until {until_at}, and the weather tells of none after it"
    ),
    "plan_pin_impossible": "the pour that you set is not possible: {why}",
    "plan_part_left_out": "a part of it is not in the plan: {why}",
    "plan_poured_unknown": "of a piece that is poured it is not known when it is ready",
    "plan_not_in_sight": "it is not ready within sight at even odds",
    "print_due": "due",
    "print_no_promise": "nothing can be promised",
    "print_sure": "sure",
    "print_even": "even odds",
    "print_pours": "Pours: start, mould, piece, mould free (* set by you)",
    "print_left_out": "Not in the plan:",
    "print_each_day": "Due each day",
    "print_gains": "What one more would gain:",
    "saved_pinned": "Set: the others are planned around it.",
    "saved_unpinned": "It may move again.",
    "act.pour": "pour",
    "act.strip": "strip and clean",
    "act.turn": "turn",
    "act.finish": "finish and pack",
    "plan_late": "late: {chance:odds}",
    "plan_moves": "its mould may not be free in time: {chance:odds}",
    "plan_short": "asks for {needs:0} people and the shop has {hands:0}: call help",
    "plan_best": "No other plan of these starts is less late.",
    "plan_solver": "The best of the time given; another might be less late by {gap:%}.",
    "plan_greedy": (
        "Piece by piece as they are due, without a search: another might be less late by {gap:%}."
    ),
    "gain_mould": "one more mould for {piece}: {saved_h:0} less late over all pieces",
    "gain_hand": "one more pair of hands: {saved_h:0} less late over all pieces",
    "gain_blanket": "a blanket over each {piece}: {saved_h:0} less late over all pieces",
    "gain_mould_sooner": "one more mould for {piece}: {order} may be promised {saved_h:0} sooner",
    "gain_hand_sooner": "one more pair of hands: {order} may be promised {saved_h:0} sooner",
    "gain_blanket_sooner": "a blanket over each {piece}: {order} may be promised {saved_h:0} sooner",
    "moved_weather": "that start does not pass any more: {why}",
    "moved_mould": "{mould} is free from {at}",
    "moved_order": "the orders have changed",
    "moved_others": "the plan as a whole is less late so",
}
