"""What a mould needs between two pours. Rows only."""

# From the strip until it is scraped, wiped, oiled and screwed together again. COMMON_PRACTICE: half
# an hour for a tray, two hours for a box with a core; a shop tells its own.
TURNAROUND_H = 1.0
