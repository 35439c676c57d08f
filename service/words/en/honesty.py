"""How good the answers were: shares of what came inside what was told."""

TEMPLATES = {
    "honesty_title": "How good the answers were",
    "honesty_how": (
        "Sets that were seen and tests that were broken, against what would have been told at placing, with the"
        " weather as it came and nothing read of the piece. Told well, 8 of 10 lie inside, 1 comes sooner, 1 later."
    ),
    "honesty_count": "{cases:0} {cases:observation|observations} of {pours:0} {pours:pour|pours}",
    "honesty_few": (
        "Fewer than {fewest:0}: too few to say anything of. Tick what sets you see and break a cube now and then."
    ),
    "honesty_none": "Nothing was seen or broken yet that tells whether an answer was right.",
    "honesty_untold": "Of {untold:0} {untold:pour|pours} nothing could be told, for want of weather.",
    "honesty_older": "Older pours are left out; castclock honesty looks at all.",
    "honesty_late_fails": "comes later than is told",
    "honesty_inside_fails": "the told span is not what it says",
    "honesty_weak": (
        "Weak evidence, since each is stripped when it suits: of {after:0} stripped after the told hour {after_clean:0}"
        " came out clean, of {before:0} before it {before_clean:0}."
    ),
    "honesty_picture": "Each observation by how far ahead it was told, and where in the told span it came",
    "honesty_late_side": "later",
    "honesty_early_side": "sooner",
    "honesty_inside_side": "inside",
    "honesty_head_step": "what",
    "honesty_head_known": "label",
    "honesty_head_lead": "told ahead",
    "honesty_head_count": "seen",
    "honesty_head_inside": "inside",
    "honesty_head_late": "later",
    "honesty_head_early": "sooner",
    "honesty_lead_all": "all",
    "honesty_lead_to": "to {lead_h:days}",
    "honesty_lead_beyond": "beyond",
    "honesty_step.initial-set": "initial set",
    "honesty_step.final-set": "final set",
    "honesty_step.strength": "strength",
    "honesty_known.none": "none",
    "honesty_known.early": "early",
    "honesty_known.28 days": "28 days",
    "honesty_known.early and 28": "early and 28",
}
