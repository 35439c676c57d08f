"""Two pours beside each other: what differs, and what that does to a face."""

TEMPLATES: dict[str, str] = {
    "beside.mix": "mix",
    "beside.water_cement": "water/cement ratio",
    "beside.lots": "lots",
    "beside.concrete_C": "concrete as placed",
    "beside.mould": "mould",
    "beside.mould_face": "face of the mould",
    "beside.cover": "covers of the first week",
    "beside.place": "place",
    "beside.stripped_after_h": "stripped after",
    "unlike_mix": "another mix has another grey",
    "unlike_water_cement": "the drier mix sets darker",
    "unlike_lots": "another lot of cement, sand or pigment may have another shade",
    "unlike_concrete_C": "warmth moves the set, and with it the shade",
    "unlike_mould": "faces differ from mould to mould",
    "unlike_mould_face": "a face that takes up water is darker and mottled",
    "unlike_cover": "what dried sooner is lighter at first",
    "unlike_place": "other air dries it at another pace",
    "unlike_stripped_after_h": "what came out at another age has another shade, less so with time",
}
