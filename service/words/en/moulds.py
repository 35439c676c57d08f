"""Moulds: what each is just now, and from when it takes the next pour."""

TEMPLATES = {
    "mould_empty": "empty",
    "mould_set_up": "set up, released {released_at}",
    "mould_holding": "holds {label}, to strip from {strip_at:up}",
    "mould_holds": "holds {label}",
    "mould_holding_unknown": "holds {label}; from when to strip it is not known",
    "mould_cleaning": "being cleaned",
    "mould_broken": "broken: first mend it",
    "mould_put_away": "put away",
    "mould_free_from": "free from {free_at:near up}",
    "mould_turnaround": "{turnaround_h:g}",
    "mould_turnaround_usual": "{turnaround_h:g}, as is common",
    "mould_also": "Nobody said that {label} left it.",
    "mould_fault": "{kind}, {at}",
    "mould_fault_mended": "{kind}, {at}, mended",
    "today_mould": "{mould}: free from {free_at:near up}",
    "saved_released": "Released: {name} is set up.",
    "saved_unreleased": "Undone: {name} is not released.",
    "saved_fault": "Fault kept: {kind}.",
    "saved_mended": "Mended: {kind}.",
    "saved_unmended": "Undone: it is not mended.",
}
