"""What a heater that burns into a closed place does to people and to a fresh face. Rows only."""

# CPSC and CDC: fuel burnt in a room, a garage or a tent, alarms outside every place where people
# sleep; ACI 306R and the trade press: its carbon dioxide makes the face of fresh concrete chalk
SOURCES = ("CPSC_MONOXIDE", "CDC_MONOXIDE", "UNVENTED_HEATERS", "ACI_306R")
