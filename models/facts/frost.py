"""Ice in young concrete: when it forms, what it does, and where hydration ends. Rows only."""

# alkalis and sulphate of fresh pore water, some 0.4 mol/kg (OWN_JUDGEMENT), at 1.86 K kg/mol
# (CRC_RAOULT)
FREEZING_POINT_C = -0.75
LATENT_J_KG = 334e3  # of ice (CRD_C_307)
BOUND = 0.23  # water that a gram of hydrated cement binds [g], CONCRETE_SOCIETY_909
IN_GEL = 0.19  # and that its gel holds and no night freezes [g], POWERS_BROWNYARD, from memory
FULL_HEAT_KJ_KG = 480.0  # of a cement that is hydrated whole (SCHINDLER_FOLLIARD_2005, from memory)

# Ice harms once it is this share of the mixing water at the coldest edge. Ice takes 9 % more room
# than its water: at 3.5 MPa the capillaries have room for a third of it (POWERS_1962), fresh
# concrete for none, and at 25 F it loses half of its strength (MCNEESE_1952). OWN_JUDGEMENT between
CRITICAL_ICE, CRITICAL_SPREAD = 0.10, 0.5  # spread: sd of the logarithm
HARMS = 0.9  # chance that so much ice leaves harm behind, OWN_JUDGEMENT
LEAST_LEFT, MOST_LEFT = 0.5, 0.9  # strength left where it froze (MCNEESE_1952: half at the worst)
PLACE_SD_K = 0.3  # freezing point and what the coldest edge meets, OWN_JUDGEMENT

# hydration under freezing: less and less water is left, and it halts at 14 F (CONCRETE_PRODUCER)
HYDRATION_SLOWS_C, HYDRATION_ENDS_C = -1.0, -10.0

# A look at the corner: imprints of ice show in a face or a chip, corners first (SUPRENANT_FROST).
# chance that a frosted corner is seen as one, that a sound one is taken for frosted; and that one
# froze though nothing foretold it. OWN_JUDGEMENT
SEEN, MISTAKEN, UNFORESEEN = 0.9, 0.05, 0.15

# A frost is borne at what the code asks of a piece that dries out by itself. Water from outside fills
# its pores again, and very little does (POWERS_1962): Canadian practice asks 7 MPa of concrete that
# will freeze (CSA_A23_1). OWN_JUDGEMENT that a piece under a wet cover or in the rain needs as much
SOAKED_MPA = 7.0
FROST_NEAR_C = 5.0  # no frost comes to a piece in air that stays over it (DIN_1045_3, page 10-3)

# later frosts: borne again and again while wet from here on; drier than this the capillaries have
# room for ice (POWERS_1962 for the room)
REPEATED_MPA = 24.0  # ACI_306R_CYCLES
ROOM_FOR_ICE_RH = 0.90  # OWN_JUDGEMENT
FROST_LIES_KH = 24.0  # a day's frost of 1 K that no warmth has paid back since, OWN_JUDGEMENT
SLOW_TO_C = 10.0  # a frozen piece is warmed to this, and kept there, OWN_JUDGEMENT
