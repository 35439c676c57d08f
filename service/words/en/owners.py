"""What the page of a piece tells whoever owns it, beside the words of care."""

TEMPLATES = {
    "owner_its_maker": "its maker",
    "owner_no_page": "No page here",
    "owner_unknown": "No piece has this code. Scan the square of the sheet again, all of it.",
    "owner_revoked": "This square counts no more. Ask whoever made the piece for a new sheet.",
    "owner_too_many": "Tried too often. Wait a while, then scan the square again.",
    "owner_planting": "Planting, not before",
    "owner_planting_note": "Water in fresh concrete is lime water, near pH {fresh_pH:1}, and burns roots. Fill it, let it stand a day, empty it, and again, until a paper strip shows pH {most_pH:0} or less; if it shows more, wait. Advice on how long runs from three weeks to two months.",
    "owner_fire": "First small fire, not before",
    "owner_fire_note": "Dry and after 28 days: burner low, a few minutes, look and listen. Steam or ticking: off, and wait a day. After rain wait anew. A gas fitter connects and tests it first.",
    "owner_frost": "Nights may freeze from now",
    "owner_frost_note": "An estimate from usual years. Tip water out, keep its feet out of puddles; no de-icing salt in its first winter.",
    "owner_reseal": "Look whether it needs sealer",
    "owner_reseal_note": "A spoon of water on it, in a dry mild spell: if it soaks in within a minute or darkens within five, it is time.",
    "saved_owner_link": "The old square opens nothing now. Print the sheet with the new one.",
}
