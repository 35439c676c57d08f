"""Drying of concrete: the diffusion law with its doubt, sorption, self-desiccation, limits. Rows only."""

# D = D1 (alpha + (1 - alpha) / (1 + ((1 - h) / (1 - hc))^n)), BAZANT_NAJJAR_1972 with CEB-FIP values
D1_FCK_MM2_D = 864.0  # D1 = 1e-8 / fck m2/s, fck in MPa (CEB_FIP_1990, from memory)
CHARACTERISTIC_MPA = 8.0  # fck lies this far under the mean strength (CEB_FIP_CHARACTERISTIC)
# of the weakest class of CEB_FIP_1990, C12, the mean is 20 MPa: weaker concrete has the same share
CHARACTERISTIC_SHARE = 12.0 / 20.0  # OWN_JUDGEMENT
# of usual concrete at w/c 0.5 (BAZANT_NAJJAR_1972); with more water as much less as the capillaries
# hold more of it: drying times by w/c of HEDENBLAD_1997 and Brewer (CRAIG_2011), OWN_JUDGEMENT
D1_TYPICAL_MM2_D = 30.0
ALPHA, HC, N = 0.05, 0.80, 15  # BAZANT_NAJJAR_1972
TEMPERATURE_Q_R_K = 2700.0  # Arrhenius, of the diffusivity (BLACKBEAR_MANUAL)
SURFACE_MM = 0.75  # a face to air counts as this much more of moist concrete (BAZANT_NAJJAR_1972)

# spreads of the members: of the logarithm unless the unit says otherwise. The band of D1 is / 2 to
# x 2 at 10 and 90 %; alpha 0.02 was fitted to one concrete, and the cubes of NBS_RP_1334 ask for more:
# OWN_JUDGEMENT
D1_SD = 0.54
ALPHA_MIDDLE, ALPHA_SD, ALPHA_RANGE = 0.06, 0.7, (0.01, 0.4)
HC_SD, HC_RANGE = 0.02, (0.74, 0.86)  # OWN_JUDGEMENT; 0.775 to 0.83 in the sources of the law
Q_R_SD, SURFACE_SD, SORPTION_SD, SELF_SD = 0.2, 0.5, 0.2, 0.35  # OWN_JUDGEMENT

# pore humidity lost in sealed concrete at full hydration, by water/cement ratio (NBS_RP_1334 for
# pastes, 79 and 88 % after 28 days; 75 to 90 % in sealed cores; OWN_JUDGEMENT between)
SELF_DESICCATION = (
    (0.25, 0.20),
    (0.30, 0.16),
    (0.40, 0.10),
    (0.50, 0.05),
    (0.60, 0.03),
    (0.90, 0.02),
)
SELF_POWER = 3.0  # of the degree of hydration: the pores empty late (OWN_JUDGEMENT)
# under this the cement takes no more water: 80 % in FLATT_2011, to which the last is slow
HYDRATION_STOPS_RH = 0.75

# moisture by mass [%] at pore humidities 0, 0.05 ... 1: BRANZ from 0.60 on, a straight line under it
# (BRANZ_SORPTION)
SORPTION_FROM_RH = 0.60
SORPTION_PCT = (3.8, 4.0, 4.2, 4.4, 4.6, 4.9, 5.4, 6.0, 7.0)
SORPTION_STEP_RH = 0.05
# that concrete's cement: OWN_JUDGEMENT, the page tells neither it nor w/c
SORPTION_CEMENT_KG_M3, SORPTION_WATER_CEMENT = 330.0, 0.5
# under it gel holds the water, over it capillaries too: where the law's D falls, OWN_JUDGEMENT
CAPILLARIES_EMPTY_RH = 0.80
# room that a gram of hydrated cement takes of its water, its gel pores counted in [cm3]:
# capillaries are w/c less so much of it (POWERS_BROWNYARD, from memory)
GEL_TAKES = 0.36

# water taken up by a dry face, mm/min^0.5 by water/cement ratio (NEVILLE_1996), measured on concrete
# dried to between 50 and 70 % (ASTM C1585)
SORPTIVITY = ((0.4, 0.09), (0.6, 0.17))
LEAST_SORPTIVITY = 0.05  # among published concretes, from memory
SORPTIVITY_RH = 0.60
SORPTIVITY_SD = 0.35  # of the logarithm: OWN_JUDGEMENT, curing alone moves it that far
USUAL_WATER_CEMENT = 0.5  # COMMON_PRACTICE
WETTEST_WATER_CEMENT = 0.9  # beyond it nothing of the above was measured (SELF_DESICCATION's end)
PLENTY_MM = 1e4  # water that stands on a face: as much as it will take, by definition

# strain of dried concrete of usual cement (N), [0] (220 + 110 [1]) 1e-6 exp(-[2] fcm / 10 MPa), times
# [3] (1 - humidity^3): EN_1992_1_1 B.11 and B.12
SHRINKAGE = (0.85, 4.0, 0.12, 1.55)
BOW_WORTH_MM = 1.0  # from this bow on it is said, OWN_JUDGEMENT

# depth of the hole as a share of the thickness: one face dries, both faces dry (ASTM_F2170)
DEPTH_ONE_FACE, DEPTH_TWO_FACES = 0.40, 0.20

# dry hours after rain or washing by chemistry: COMMON_PRACTICE, two days for silanes
# (concreteconstruction.net, protection and preservation using penetrating sealers)
AFTER_RAIN_H = {"silane-siloxane": 48.0}
AFTER_RAIN_USUAL_H = 24.0  # COMMON_PRACTICE
# hours until a film that showed water is laid again: as long as one lies. OWN_JUDGEMENT; the pages
# tell how long a film lies, 16 h (ASTM_D4263), and nothing of waiting
WAIT_AFTER_WET_FILM_H = 24.0
CONSTANT_MASS_PCT_D = 0.1  # mass is called constant under this loss in 24 h: EN tests, from memory
CONSTANT_MASS_PCT = 0.1  # over the days of its section, in all of them: OWN_JUDGEMENT
CONSTANT_FOR_D, CONSTANT_AT_MM = 7.0, 50.0  # by the square of the section (OWN_JUDGEMENT)
CONSTANT_FOR_RANGE_D = (3.0, 28.0)  # OWN_JUDGEMENT
SPALLING_PCT = 3.0  # EN_1992_1_2 4.5.1, from memory; DTU_DS_411 has 3 to 4 %
SPALLING_MOST_PCT = 4.0  # DTU_DS_411: limited within 3 to 4 % for traditional concrete
FIRE_PROBE_RH = 0.75  # at the test depth, OWN_JUDGEMENT
CURLS_AFTER_H = 48.0  # one face bare to the air this long, the other shut: COMMON_PRACTICE
WASHED_H = 1.0  # wet honing keeps the faces wet for about this long, COMMON_PRACTICE
