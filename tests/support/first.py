"""What an empty shop is asked before its first pour, answered."""

FIRST = {
    "piece__length_mm": "1200 mm",
    "piece__width_mm": "600 mm",
    "piece__thickness_mm": "50 mm",
    "mix__kind": "general-purpose",
    "place__kind": "open yard",
}
