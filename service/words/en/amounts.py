"""How much of everything: recipe, batches, mesh, sealer; what more water costs."""

TEMPLATES: dict[str, str] = {
    "priced.mould_day": "Days of the mould",
    "priced.cover": "Covers laid",
    "priced.heat_day": "Days of heating",
    "priced.bag": "Bags",
    "priced.sealer_l": "Litres of sealer",
    "priced.blanket_night": "Nights of a blanket",
    "priced.kWh": "kWh",
    "priced.hour": "Hours of mine",
    "priced.helper_hour": "Hours of a helper",
    "priced.lost_piece": "The lost piece",
    "price_more": "costs about {money} more than as planned",
    "price_saves": "saves about {money} against as planned",
    "price_risk": "frost may take the piece, on the average {money} a pour",
    "part.sealer": "sealer",
    "part.cement": "cement",
    "part.bag": "dry bag",
    "part.sand": "sand",
    "part.aggregate": "aggregate",
    "part.water": "water",
    "part.admixture": "admixture",
    "part.pigment": "pigment",
    "part.fibre": "fibre",
    "part.polymer": "polymer",
    "fibre.polypropylene": "fine polypropylene",
    "fibre.glass": "glass, alkali-resistant",
    "fibre.steel": "steel",
    "instead": "wetter without it: {instead}",
    "instead_plasticiser": (
        "a water-reducing admixture gives that slump without the water: it saves {saves_pct:0} of"
        " it or more; its dose is on its sheet"
    ),
    "instead_high_range": (
        "a high-range water reducer gives that slump without the water: it saves {saves_pct:0} of"
        " it or more; begin with the least dose of its sheet"
    ),
    "instead_other_mix": (
        "more than a water reducer surely saves ({saves_pct:0}): take another mix, made to flow"
    ),
    "amounts_of_class": (
        "neither bag nor recipe is told of this mix, so its parts are those usual for its kind"
    ),
    "pigment_hardly_deeper": (
        "{pigment_pct:1} of pigment: over {enough_pct:0} the colour hardly deepens, and it takes"
        " water; {most_pct:0} of the cement is the limit"
    ),
    "fibre_unusual": (
        "{dose_kg_m3:1} of {fibre} fibre: usual are {least_dose_kg_m3:1} to {most_dose_kg_m3:1}"
    ),
    "rounded_to_scale": (
        "rounded to the scale, {part} is {off_pct:1} off ({exact_g:1} would be exact)"
    ),
    "mesh_cover_thin": (
        "steel mesh in the middle has {held_mm:g} of concrete over it, the rules for buildings want"
        " {cover_mm:g}: it may rust through, so stainless or glass mesh, or none"
    ),
}
