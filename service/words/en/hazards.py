"""The one caution of a step and its product; what to do then is under First aid."""

TEMPLATES = {
    "hazard_wet_cement": "Wet cement burns, and hurts only hours later: gloves and glasses, off with what is soaked, rinse for 20 minutes, red skin to a doctor.",
    "hazard_silica": "Its dust is silica, and scars lungs for good: work wet or with extraction at the tool, and a fitted mask.",
    "hazard_wet_mains": "Water and a mains tool kill: a tool made for wet work, behind a residual current device of 30 mA that you have just tested, plug and cable out of the wet.",
    "hazard_on_edge": "A piece on edge falls without a warning: never alone, never on the side it would fall to, foam under it, strapped or leaning before anybody lets go.",
    "hazard_solvent": "Its vapour burns and makes dizzy: no flame, spark or heater near, doors open, rags flat to dry outdoors.",
    "hazard_isocyanate": "Its hardener holds isocyanate: one breath too many may mean asthma for life. Roll, never spray without air-fed breathing gear; gloves, open doors, nobody with asthma near.",
    "hazard_hardener": "Its hardener burns skin and makes allergic for good: nitrile gloves, sleeves and glasses, wipe and soap at once, never solvent on skin.",
    "hazard_acid": "It is acid: face shield, long gloves and open air; pour acid into water, never water into acid, and rinse any splash for 20 minutes.",
    "hazard_alkali": "It is caustic to eyes: glasses and gloves; rinse an eye for 20 minutes, then a doctor.",
}
