"""Is this the unit that was meant?"""

TEMPLATES = {
    "reading_ahead": "lies ahead of the clock of the server",
    "reading_of_no_pour": "no pour was under way there by then",
    "doubt_of_field": "{field} = {question}",
    "unit_doubtful": ("{shown} is far from {against}; {meant} would be {other}: was that meant?"),
    "figure_doubtful": "{shown} is far from {against}; look at the figure and its unit",
    "against_season": (
        "what that place has at that time of the year (mostly {low_C:0n} to {high_C:0})"
    ),
    "against_weather": ("the weather of these hours ({low_C:0n} to {high_C:0}, {provider})"),
    "against_air": "what air mostly has ({least_pct:0} and more)",
    "against_last_tile": "what the tile weighed last ({last_g})",
    "against_pieces": "what such pieces measure ({low_mm:gn} to {high_mm})",
}
