"""Is this the unit that was meant? Figures stand in both systems; what they are held against in SI."""

TEMPLATES = {
    "doubt_of_field": "{field} = {question}",
    "unit_doubtful": ("{shown} is far from {against}; {meant} would be {other}: was that meant?"),
    "figure_doubtful": "{shown} is far from {against}; look at the figure and its unit",
    "against_season": (
        "what that place has at that time of the year (mostly {low_C:0n} to {high_C:0n} degC)"
    ),
    "against_weather": (
        "the weather at hand for these hours ({low_C:0n} to {high_C:0n} degC, {provider})"
    ),
    "against_pieces": "what such pieces measure ({low_mm:gn} to {high_mm})",
}
