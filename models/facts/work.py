"""Minutes of work that a piece asks for, by its volume and its area, until a shop has its own.

All OWN_JUDGEMENT: no page gives them for small pieces cast by hand. A shop tells its own.
"""

POUR_MIN, POUR_MIN_PER_L = 30.0, 1.0  # set up the mixer; mix, place and screed
STRIP_MIN, STRIP_MIN_PER_M2 = 15.0, 15.0
TURN_MIN = 20.0
FINISH_MIN, FINISH_MIN_PER_M2 = 30.0, 40.0  # sand, patch, wipe, pack
CLEAN_MIN, CLEAN_MIN_PER_M2 = 20.0, 20.0  # scrape, oil and seal the mould for the next piece
TWO_TO_POUR_L = 60.0  # more than this is mixed by one while another places
