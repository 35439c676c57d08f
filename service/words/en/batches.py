"""Batches, lifts and layers: what comes too late on what."""

PARTS_THERE = (
    "Tap along the line, fill what gapes, and keep it out of the stretch that bends when the piece"
    " is turned or carried (common practice)."
)

TEMPLATES = {
    "layer.face": "face coat",
    "layer.backing": "backing",
    "cold_joint": (
        "Cold joint: batch {next:0} went in {gap_h:1} after batch {batch:0}, which by then had begun"
        f" to set: {{chance:odds}}. The piece may part there at any strength. {PARTS_THERE}"
    ),
    "backing_late": (
        "Backing too late: batch {next:0} came {gap_h:1} after the face coat, too late to bond all"
        " over: {chance:odds}. Tap the face for hollow spots after strip, before any sealer."
    ),
    "backing_soon": (
        "Backing too soon: batch {next:0} came {gap_h:2} after the face coat, which was still soft:"
        " {chance:odds}. Fibres or stones may show in the face."
    ),
    "batch_after_clock": (
        "The hours count from before the youngest batch ({at}), since something was read or done"
        " before it: take every hour here as too early, and correct the time of the pour."
    ),
}
