"""Pieces, mixes, materials, covers, handling."""

TEMPLATES: dict[str, str] = {
    "piece": "{shape} {length_mm:gn} x {width_mm:gn} x {third_mm:g}{wall}{holes}",
    "piece_wall": ", wall {wall_mm:g}",
    "piece_openings": ", {openings:0} {openings:opening|openings}",
    "mix.general-purpose": "ordinary bagged or site mix",
    "mix.high-early": "high-early-strength bag or cement",
    "mix.rapid-setting": "rapid-setting bag, calcium sulfoaluminate type",
    "mix.glass-fibre": "fine glass-fibre mix, sprayed or cast",
    "mix.flowing": "self-batched flowing mix with plasticiser",
    "cover.blanket": "one blanket",
    "cover.foam": "foam boards",
    "heater.vented": "burning, its fumes led outdoors",
    "heater.unvented": "burning into the room",
    "mix_class": "{mix}",
    "mix.blended": "mix with slag or fly ash",
    "cover": "{cover}",
    "cover_with": "{cover} ({with:, })",
    "cover_resists": "R {R_m2K_W:gn}",
    "cover_kept": "{setpoint_C:g}",
    "heat_electric": "electric heat",
    "heat_vented": "vented heat",
}
