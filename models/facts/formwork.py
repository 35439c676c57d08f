"""Pressure of the fresh mix on a mould, and what its walls may give. Rows only."""

# first wall formula: Cw Cc (A + B R / (T + C)) kPa, R [m/h], T [degC]; of 150 + 9000 R / T psf, in ft/h
# and degF: ACI_347_PRESSURE, the metric form from memory
ACI_A_KPA, ACI_B, ACI_C = 7.2, 785.0, 17.8
ACI_SECOND_B, ACI_SECOND_R = 1156.0, 244.0  # of the second formula: ACI_347_PRESSURE, from memory
ACI_LEAST_KPA = 30.0  # times Cw, under which no formula goes: ACI_347_PRESSURE
# where they hold: slump, rate and height of the first, rate of the second: ACI_347_PRESSURE (7 in,
# 7 ft/h, 14 ft, 15 ft/h)
ACI_SLUMP_MM = 175.0
ACI_RATE_M_H, ACI_HEIGHT_M, ACI_SECOND_RATE_M_H = 2.1, 4.2, 4.5
# Cw: of lighter mixes 0.5 (1 + w / ref), 0.8 at the least; of heavier ones w / ref: ACI_347_COEFFICIENTS
ACI_REF_KG_M3, ACI_LIGHT_KG_M3, ACI_HEAVY_KG_M3, ACI_LEAST_CW = 2320.0, 2240.0, 2400.0, 0.8
# Cc: plain Portland cement; with a retarder; blends of slag or ash; such a blend with a retarder or of
# more slag or ash: ACI_347_COEFFICIENTS
ACI_CC = {"plain": 1.0, "retarded": 1.2, "blended": 1.2, "blended-retarded": 1.4}
# C1 of walls, C2 by cement, K = (KELVIN / (T + OFFSET))^2: CIRIA_108
CIRIA_C1 = 1.0  # CIRIA_108
CIRIA_C2 = {"plain": 0.30, "retarded": 0.45, "blended": 0.45, "blended-retarded": 0.60}  # CIRIA_108
CIRIA_K_C, CIRIA_OFFSET_C = 36.0, 16.0  # CIRIA_108

# a wall that bows more shows it: share of its span, and no more than so much (1/16 in)
MOST_OF_SPAN = 1 / 360  # FORMWORK_PEURIFOY
MOST_BOW_MM = 1.5  # FORMWORK_PEURIFOY has 1/16 in, 1.6 mm
# of the load beside what its wall, screw or weight bears: OWN_JUDGEMENT, as EN_1995_1_1 has 1.5 on loads
LOAD_FACTOR = 1.5  # EN_1995_1_1, from memory
# of what holds a core down, over its uplift; it is jolted by the rod and the shovel: OWN_JUDGEMENT
HELD_DOWN_FACTOR = 1.5  # OWN_JUDGEMENT
FRESH_H = (3.0, 12.0)  # for which a wall is pressed, COMMON_PRACTICE
# thicknesses that are sold [mm]: COMMON_PRACTICE
SOLD_MM = (9.0, 12.0, 15.0, 16.0, 18.0, 19.0, 22.0, 25.0, 28.0, 32.0, 38.0)

# screws [mm]: what is in every shop: COMMON_PRACTICE
SCREW_DIAMETER_MM, SCREW_LENGTH_MM = 4.0, 50.0
SCREW_SPACING_MM = 150.0  # COMMON_PRACTICE
LEAST_SPACING_DIAMETERS = 5.0  # nearer ones split the edge: COMMON_PRACTICE
# ultimate withdrawal from particleboard [N], K D^0.5 (L - D / 3)^1.25 G^2 in mm: of its face, of its
# edge; and of solid wood, across the grain, 108.25 G^2 D L: WOOD_HANDBOOK, from memory
WITHDRAWN_FACE, WITHDRAWN_EDGE, WITHDRAWN_WOOD = 41.1, 31.8, 108.25
# of the ultimate, that is counted on: what is printed as allowable, 2850 G^2 D, over the 15 700 G^2 D
# of the same unit that it takes to pull one out
SCREW_COUNTED = 2850.0 / 15700.0  # WOOD_SCREWS_ALLOWED
EDGE_OF_PLYWOOD = 0.5  # of what solid wood holds: veneers part. OWN_JUDGEMENT
