"""A series: pours one like the other, and what differs."""

TEMPLATES = {
    "differs": "{field}: {now}, before {was}",
    "differs_changed": "{field}: {name} was changed since",
    "differs_none": "none told",
    "field.piece": "piece",
    "field.mix": "mix",
    "field.place": "place",
    "field.mould": "mould",
    "field.sealer": "sealer",
    "field.sealer_then": "over the sealer",
    "field.water_added_l": "water above the label",
    "field.concrete_C": "concrete as placed",
    "field.bags": "bags",
    "field.bag_C": "dry mix as stored",
    "field.water_C": "mixing water",
    "field.board_C": "mould as it is cast in",
    "field.placing_h": "mixing and placing",
    "field.measures": "against drying",
    "field.cover": "cover",
}
