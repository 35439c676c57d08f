"""Ways of turning, carrying and delivering a piece."""

TEMPLATES: dict[str, str] = {
    "turned.padded_edges": "tilted on padded edges",
    "turned.long_edge": "tilted up on its long edge",
    "turned.short_edge": "tilted up on its short edge",
    "turned.rail": "tipped over a padded rail under its middle",
    "turned.boards": "clamped between boards and turned with them",
    "turned.fifth_points": "carried flat at the fifth points",
    "turned.straps": "hung in two straps at the fifth points",
    "turned.ends": "carried flat by its ends",
    "gear.rail": "a padded rail or trestle",
    "gear.boards": "boards and timbers on edge to clamp it between",
    "gear.straps": "lifting straps",
    "gear.hoist": "a hoist or gantry",
    "way_people": "{people:0} {people:person|people}",
    "way_people_half": "{people:0} {people:person|people} for half of its weight, the rest stays"
    " on the edge",
    "way_hoist": "a hoist",
    "with_gear": "{gear}",
    "way_instead": "{turned} works",
    "way_none_instead": "no way that is known here works: ask somebody who rigs for a living",
    "load_on_edge": "{mass_kg:0}, {hands}. On its edge on foam, tied at two heights; what comes off first"
    " goes on last. No plastic on a film that is not through: it sticks and prints.",
    "install_floor": "{mass_kg:0} on the client's floor: ask what it bears before you come; nobody"
    " beneath. From here on its place is the owner's.",
    "travel_jerk": "the road counts as {factor:1n} times its weight",
    "core_peel": "peeled from its rim, a hand's width at a time, its wall bends by {bending_MPa:2}; all at"
    " once it would pull more",
    "not_this_way": "not this way: it needs {need_MPa:0}, and this mix surely reaches {reach_MPa:0};"
    " {instead}",
    "not_by_so_few": "not this way: {people:0} {people:person lifts|people lift} {team_kg:0} together;"
    " {instead}",
}
