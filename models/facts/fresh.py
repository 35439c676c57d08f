"""Fresh concrete: set, working time, bleeding, and what is lost on the way to the mould. Rows only."""

HALVING_K = 11.0  # working time halves per 11 K (20 F): COMMON_PRACTICE
DRY_PER_WATER = 12.0  # kg of dry bag per kg of water, if the maker has not said; COMMON_PRACTICE
LOST_PER_H = 0.25  # of the excess over the air while it is mixed and carried; ACI_306R, from memory
CARRIED_H = 0.5  # from the mixer to the mould, COMMON_PRACTICE
LOCKED_AFTER = 2.2  # knock-outs lock at this multiple of the final set, COMMON_PRACTICE
CORE_LOCKS_H = 24.0  # equivalent hours after the core surely may come out, COMMON_PRACTICE
BLEED_END_FRACTION = 0.55  # of the initial set, COMMON_PRACTICE
NO_BLEED_FRACTION = 0.25
WORKING_FRACTION = 0.5  # of the initial set in which a mix can be placed, COMMON_PRACTICE
HASTE_H = 1.0  # mixes that set later leave ample time, COMMON_PRACTICE
