"""What a heater that burns into a closed place does to people and to a fresh face. Rows only."""

# CPSC and CDC: fuel burnt in a room, a garage or a tent, alarms outside every place where people
# sleep; ACI 306R and the trade press: its carbon dioxide makes the face of fresh concrete chalk
MONOXIDE = (
    "carbon monoxide: a heater that burns into a closed place kills people asleep in rooms beside"
    " it; lead its fumes outdoors or use electric heat, with a carbon monoxide alarm outside every"
    " room where people sleep. Its carbon dioxide chalks the fresh face too, which dusts for good."
)
UNTOLD_HEAT = (
    "heat: what heats the enclosure was not told; taken as electric, for a heater that burns inside"
    " it gives carbon monoxide and chalks the face"
)
SOURCES = ("CPSC_MONOXIDE", "CDC_MONOXIDE", "UNVENTED_HEATERS", "ACI_306R")
