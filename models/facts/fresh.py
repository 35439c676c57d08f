"""Fresh concrete: set, working time, bleeding, and what is lost on the way to the mould. Rows only."""

HALVING_K = 11.0  # working time halves per 11 K (20 F): NFBA_2020
LABEL_C = 21.0  # at which a label tells its hours, COMMON_PRACTICE (70 F)
DRY_PER_WATER = 12.0  # kg of dry bag per kg of water, if the maker has not said; COMMON_PRACTICE
DRY_HEAT_RATIO = 0.22  # heat capacity of the solids against water's (CRD_C_307)
ICE_K = 79.7  # kelvins of water that melting ice takes (CRD_C_307, 143.5 Btu/lb)
LOST_PER_H = 0.25  # of the excess over the air while it is mixed and carried; ACI_306R, from memory
CARRIED_H = 0.5  # from the mixer to the mould, COMMON_PRACTICE
LOCKED_AFTER = 2.2  # knock-outs lock at this multiple of the final set, COMMON_PRACTICE
CORE_LOCKS_H = 24.0  # equivalent hours after the core surely may come out, COMMON_PRACTICE
BLEED_END_FRACTION = 0.55  # of the initial set, COMMON_PRACTICE
NO_BLEED_FRACTION = 0.25  # of a mix that hardly bleeds, COMMON_PRACTICE
WORKING_FRACTION = 0.5  # of the initial set in which a mix can be placed, COMMON_PRACTICE
HASTE_H = 1.0  # mixes that set later leave ample time, COMMON_PRACTICE
# one more of water/cement divides the strength by so much (ABRAMS_1918): the plain mixes of YEH_1998
# give 13.5 by mass; OWN_JUDGEMENT for bags
WATER_CEMENT_BASE = 14.0
PLAIN_KG_M3, HEAVIEST_KG_M3 = 2300.0, 2400.0  # of a piece, of what presses a mould; COMMON_PRACTICE
WASTE_FRACTION = 0.05  # of the mix, left in tub and tools; COMMON_PRACTICE
# of the logarithm: cement in a bag of which only the class is told, 280 to 400 kg/m3 in bags of
# general use; what is poured by the bucket. OWN_JUDGEMENT
CEMENT_OF_BAG_SD, BUCKET_SD = 0.12, 0.03
# of the initial set: a face coat is stiff enough that its backing does not drive through, and too
# stiff for it to bond; COMMON_PRACTICE, 10 to 20 min and within the hour for glass-fibre mixes
FACE_STIFF, FACE_PARTS = 0.05, 0.25
# a poker goes so deep into the batch below, where the section is deeper than a slab of this: UFGS_03300
INTO_BELOW_MM, SLAB_MM = 150.0, 100.0
EVENS_W_M2K = 10.0  # by which a piece in its mould cools through each face, OWN_JUDGEMENT
PLACED_C = (0.5, 55.0)  # no concrete is placed colder or warmer: water in it, OWN_JUDGEMENT
FOLLOWS_AIR = 1 / 3  # bags and water follow the air of the hour by this fraction, OWN_JUDGEMENT
