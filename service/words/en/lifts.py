"""What the batches of a pour tell of the walls of its mould."""

TEMPLATES = {
    "mould_fresh_logged": (
        "as the batches of the pour in it were logged, {fresh_mm:0} of {depth_mm:0} pressed at once at"
        " the most: what lies below had set for sure. It holds while no vibrator goes into what has"
        " set, and the next lift is no deeper"
    ),
}
