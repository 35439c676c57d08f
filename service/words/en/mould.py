"""Walls of moulds: do they hold, what floats, what a board does to the face."""

TEMPLATES: dict[str, str] = {
    "mould_walls": "whether its walls hold",
    "mould_no_walls": "{board} bears nothing by itself: what backs it does, so ask about that board.",
    "mould_no_piece": "no piece is built in it yet",
    "mould_no_height": "how deep its mould is filled is not told",
    "mould_say_height": "tell the height of the piece",
    "mould_say_piece": "say which piece it is built for, or pour one in it",
    "board.hdpe": "HDPE",
    "board.mdf": "MDF",
    "board.plywood": "raw plywood",
    "mould_state.holds": "The walls hold",
    "mould_state.unknown": "Whether the walls hold is not known",
    "mould_state.bows": "A wall bows so far that the face shows it",
    "mould_state.screws": "The screws let go",
    "mould_state.breaks": "A wall may break",
    "wall.side": "Long side",
    "wall.end": "Short side",
    "wall.core_side": "Core, long side",
    "wall.core_end": "Core, short side",
    "mould_wall.holds": "{wall}: holds. It bows about {half_bow_mm:1}, and {most_bow_mm:1} would show.",
    "mould_wall.still": "{wall}: holds, and does not bow that one could see.",
    "mould_wall.bows": (
        "{wall}: bows {late_bow_mm:1} in a soft board, over {span_mm:0} between supports; more than"
        " {most_bow_mm:1} shows. {would}"
    ),
    "mould_wall.breaks": (
        "{wall}: may break. {foot_kPa:1} at its foot bends it to {stress_MPa:1}, and the board is sure of"
        " {bears_MPa:1} only, without reserve. Do not pour. {would}"
    ),
    "mould_wall.screws": (
        "{wall}: the screws let go. One every {told_mm:0} is too far apart: each is good for {held_kg:0},"
        " so every {near_apart_mm:0} at the most. {would}"
    ),
    "mould_wall.unscrewable": (
        "{wall}: screws would have to stand every {near_apart_mm:0}, nearer than its edge bears without"
        " splitting. Strap it, or add ribs with blocks at the corners. {would}"
    ),
    "mould_wall.usual_screws": (
        "{wall}: the screws let go if they stand as usual, one every {told_mm:0}: each is good for"
        " {held_kg:0}, so every {near_apart_mm:0} at the most. Tell how far apart they stand. {would}"
    ),
    "mould_wall.corners": (
        "{wall}: the board itself holds, but its edge takes no screw, and castclock does not know what"
        " holds its corners. Bolts, clamps or a strap have to bear {strap_kg:0} at each."
    ),
    "mould_would": "It holds {ways:, or }{besides:}.",
    "mould_would_screws": ", with a screw every {near_apart_mm:0}",
    "mould_would_brace": "with a rib or clamp every {brace_apart_mm:0}",
    "mould_would_thickness": "of {thickness_mm:0} board",
    "mould_would_lift": "poured in lifts of {lift_apart_mm:0}, each set before the next",
    "mould_would_nothing": (
        "No rib, thicker board or lift alone makes it hold: bridge its rim, then ask again."
    ),
    "mould_screws_few": (
        "{wall}: {screws:0} screws at each corner, one every {foot_apart_mm:0} along the foot."
    ),
    "mould_screws": (
        "{wall}: {screws:0} screws at each corner, every {near_apart_mm:0} near the foot; one every"
        " {foot_apart_mm:0} along the foot. Each is good for {held_kg:0}. Or a strap round the mould a"
        " third up, good for {strap_kg:0}."
    ),
    "mould_floats.core": (
        "The core floats: the mix lifts it with {lifts_kg:0}. Lay {holds_kg:0} on a bar across it, or"
        " strut it down, before the mix is over its foot; its own weight counts."
    ),
    "mould_ring": (
        "A round wall is held by its strap: one a third up pulls {strap_kg:0}. Two share it; tape or"
        " screws alone let a bent board spring open."
    ),
    "mould_floats.core_standing": (
        "The core floats once mix gets under it: {lifts_kg:0} up. Hold it with {holds_kg:0}{with}, and"
        " seal round its foot."
    ),
    "mould_floats.knock_out": (
        "A knock-out floats once mix gets under it: {lifts_kg:0} up. Hold it with {holds_kg:0}{with}, and"
        " seal round its foot."
    ),
    "mould_floats.inner": (
        "What fills the hollows of the form over the concrete floats: the mix lifts it with {lifts_kg:0} in"
        " all. Strut it down, or lay {holds_kg:0} on it, before the mix reaches it."
    ),
    "mould_floats.inner_standing": (
        "What fills the hollows of the form floats once mix gets under it: {lifts_kg:0} up in all. Hold it"
        " with {holds_kg:0}{with}, and seal round its foot."
    ),
    "mould_or_screws": ", or {screws:0} screws from below",
    "mould_bearers": "Carry the base every {bearer_apart_mm:0} at least.",
    "mould_pressure.full_head": "{foot_kPa:1} at the foot of {fresh_mm:0} fresh mix, pressing like a liquid",
    "mould_pressure.aci_347": (
        "{foot_kPa:1} at the most in {fresh_mm:0} fresh mix, placed so slowly that what lies below has"
        " stiffened (the larger of ACI 347 and CIRIA 108)"
    ),
    "mould_shaken": (
        "Taken as shaken or flowing: a vibrator held on the wall, or a mix that levels itself, presses"
        " with all of its depth, however slowly it is placed."
    ),
    "mould_picture": "{wall}, from outside, to scale",
    "mould_picture_bow": "Under it, from above and {times:0} times as deep: a soft board bows {late_bow_mm:1}; dots, what shows.",
    "mould_estimate": (
        "An estimate from usual boards, half of them stiffer: look along the wall while you fill, and stop"
        " when it moves. Nobody stands in front of a full wall."
    ),
    "before_level": "Level both ways and carried firm; the base clean, no chips, no standing water.",
    "before_seams": "Seams, cut edges and screw heads sealed; corners wiped, no bead stands proud.",
    "before_walls.holds": "Ribs, straps and screws as worked out: the walls hold.",
    "before_walls.bows": "A wall bows so far that the face shows it: see its walls before you pour.",
    "before_walls.screws": "The screws let go: see its walls before you pour.",
    "before_walls.breaks": "A wall may break: do not pour before it is braced.",
    "before_walls.unknown": "What backs the walls stands firm: castclock does not know whether they hold.",
    "before_floats_unknown": "What stands or hangs inside the form is held down: castclock does not know what floats.",
    "before_spacers": "Mesh or bars, if any, on spacers, off every face; nothing sticks out of the top.",
    "before_drain": "The drain of {drain_mm:0} stands where it belongs, capped and held down.",
    "before_inserts": "Inserts in their places, level, held, threads plugged: {inserts:, }.",
    "before_insert": "{insert}",
    "before_insert_wrapped": "{insert}, wrapped {gap_mm:0} all round",
    "before_mix": "{bags:g} {bags:bag|bags} at hand and one to spare; water measured, tools wet, a helper told.",
    "before_mix_untold": "Mix at hand with some to spare; water measured, tools wet, a helper told.",
    "before_cover": "Cover within reach before the first bucket{covers:}.",
    "before_cover_of": " ({cover})",
    "before_evening": "The evening is kept free: {hours:, }.",
    "before_hour": "{step} about {at:near}",
    "before_gloves": "Gloves and glasses on, clean water to rinse with: wet cement burns before it hurts.",
    "mould_agent.wax": "Release: a thin wax or oil, wiped off again, so that nothing pools.",
    "mould_agent.oil": "Release: mould oil, thin, two coats on wood that drinks, wiped.",
    "mould_agent.soap": "Release: shellac to seal it, then soap or wax.",
    "mould_agent.none": "Release: none needed; a breath of wax keeps it longer.",
    "mould_face.melamine": "Face: dense, dark and glossy; its cut edges drink and swell, so seal them.",
    "mould_face.plywood": (
        "Face: shows the grain, pale and mottled where wood drinks; its sugars hold back the skin, most in"
        " wood that lay in the sun. Wash new boards with lime or cement water, or seal them."
    ),
    "mould_face.film-faced plywood": "Face: even and smooth, shows where two films meet; seal the cut edges.",
    "mould_face.mdf": "Face: it drinks, swells and mottles the concrete unless sealed all over.",
    "mould_drinks": "The hours told know nothing of what it drinks: the face against it dries sooner.",
    "mould_face.foam": "Face: shows every bead; tape or coat it for a closed face.",
    "mould_face.steel": "Face: dense and even; rust marks it, and cold steel chills the skin.",
    "mould_face.glass": "Face: a mirror, with every air bubble; colour turns dark where it lies longest.",
    "mould_face.hdpe": "Face: glossy; it moves with warmth, so screw it to a stiff board.",
    "mould_face.silicone": "Face: every detail of what it was cast from; back it, or it bulges.",
    "mould_face.plaster": "Face: it drinks and dusts; seal it, and it serves once.",
    "mould_lets_go.melamine": (
        "Lets go: short sides first, screws out before any pull; a wedge at the rim lets air in, then the"
        " long sides come."
    ),
    "mould_lets_go.plywood": "Lets go: hard where it was not oiled; screws out, wedge at the rim, wet the gap.",
    "mould_lets_go.film-faced plywood": (
        "Lets go: screws out, short sides first; break the suction with a wedge at the rim."
    ),
    "mould_lets_go.mdf": "Lets go: swollen boards jam; screws out, short sides first, wedge at the rim.",
    "mould_lets_go.foam": "Lets go: cut it out; a core wants {5_mm:0} of draft for each {100_mm:0}, or to be cut.",
    "mould_lets_go.steel": "Lets go: unbolt, tap, lift straight; a core wants draft.",
    "mould_lets_go.glass": "Lets go: by suction it holds fast; wait, wedge at a corner, let air in, never lever.",
    "mould_lets_go.hdpe": "Lets go by itself; cement does not stick to it.",
    "mould_lets_go.silicone": "Lets go: peel it back from a corner; undercuts come out.",
    "mould_lets_go.plaster": "Lets go: broken off; it is lost.",
}
