"""Moist air, light, rain and the bounds of nature. Rows only."""

# saturation pressure over water A exp(M T / (TN + T)) [hPa], T in degC (WMO_8)
MAGNUS_A_HPA, MAGNUS_M, MAGNUS_TN_C = 6.112, 17.62, 243.12
PSYCHROMETRIC_HPA_K = 0.668  # cp P / (0.622 Lv) at sea level (FAO_56 equation 8)
SUNSET_DEG = -0.833  # upper limb on the horizon, refraction in it (USNO_SUN)
CIVIL_DUSK_DEG = -6.0  # from here on work outdoors needs a lamp (USNO_SUN)
HIGHEST_DEW_C = 36.0  # no higher dew point is on record than 35 degC (DHAHRAN_2003)

# place of the sun by days since 2000-01-01 12:00, to a hundredth of a degree: low precision
# of the ASTRONOMICAL_ALMANAC, held against PyPI pvlib
SUN_LONGITUDE, SUN_ANOMALY = (280.460, 0.9856474), (357.528, 0.9856003)  # degrees
SUN_CENTRE, OBLIQUITY = (1.915, 0.020), (23.439, -4e-7)  # degrees
SIDEREAL_H = (18.697374558, 24.06570982441908)  # from memory, hours

HAURWITZ = (1098.0, 0.059)  # clear sky: [0] cos z exp(-[1] / cos z) W/m2 (HAURWITZ_1945)
# sun outside the air at its mean distance, and by how much more in January; held against PyPI pvlib
SOLAR_CONSTANT_W_M2, ORBIT = 1361.0, 0.033  # from memory
# share of the sun that comes from the whole sky, by the share of the sun outside the air that comes
# through, kt: 1 - [0] kt to 0.22, a polynomial to 0.80, one value over it (ERBS_1982)
ERBS_LOW, ERBS_HIGH = 0.09, 0.165
ERBS = (0.9511, -0.1604, 4.388, -16.638, 12.336)
ERBS_KT = (0.22, 0.80)
LOW_SUN_DEG, LOW_SUN_SINE = 3.0, 0.065  # under it no direct sun is told apart (ERBS_1982)
ALBEDO = 0.2  # of the ground before a standing face, COMMON_PRACTICE
CLOUD_DIMS = (0.75, 3.4)  # 1 - [0] n^[1] (KASTEN_CZEPLAK_1980)
# emissivity of the sky: ([0] + [1] ln(Td / 273)), times 1 and what tenths of cloud add to the powers
# 1, 2 and 3 (ASHRAE_NIGHT_SKY)
SKY_CLEAR, SKY_CLOUD = (0.787, 0.764), (0.0224, -0.0035, 0.00028)
# by how much a sky differs from that: formulas of the kind miss measured radiation by 22 to 24 W/m2 of
# some 400 under cloud and clear skies (FINCH_BEST_2004)
SKY_EMISSIVITY_SD = 0.05
# film of a face in wind, W/m2K: [0] + [1] v to [4] m/s, [2] v^[3] over it (BENTZ_NISTIR_6551 for the
# form, from memory); within 8 % of MCADAMS_1954 to 8 m/s
FILM = (5.6, 4.0, 7.2, 0.78, 5.0)
# evaporation: [0] ((Tc + [1])^[2] - r (Ta + [1])^[2]) (V + [3]) 1e-6 kg/m2h, degC and km/h (UNO_1998)
UNO = (5.0, 18.0, 2.5, 4.0)
# under it UNO_1998 is lower than the formula it was fitted to (MENZEL_1954): by 11 % at 10 degC, 24 %
# at 5
MENZEL_FROM_C = 20.0
EVAPORATION_J_KG = 2.45e6  # heat that water takes along (FAO_56 equation 8)
UNO_WITHIN = 1.4  # true within this factor (HOVER_2020)

# rain that wets a face or marks a fresh one [mm/h]: any that is told, 0.1 mm over six hours the least;
# OWN_JUDGEMENT
WET_MM_H = 0.01

# by how much the air of a yard is colder than around on a clear, calm night, by what its maker
# tells [K], and the spread of its logarithm: 1 K is a weak cold pool, met in 45 % of nights, 4 K a
# strong one, 12 % (JEMMETT_SMITH_2014, valley of 170 m); 6.2 K in 100 m of height near dawn
# (HOCEVAR_MARTSOLF_1971), so 16 and 50 m under the land around. Strong ones ask for nights with less
# than 3 m/s. The spread and what it halves at are OWN_JUDGEMENT
HOLLOW_K, HOLLOW_SPREAD = {"no": 0.0, "a little": 1.0, "a hollow": 3.0}, 0.5
HOLLOW_CALM_M_S = 3.0  # wind at 10 m that leaves half of it
HOLLOW_GONE_DEG = 6.0  # height of the sun at which nothing of it is left, OWN_JUDGEMENT
KNOWN_SITE_SD_K = 0.5  # of a yard about its weather once this is told, OWN_JUDGEMENT
UNTOLD_LATITUDE = 45.0  # where nobody told the place, OWN_JUDGEMENT

# air temperature that no hour goes beyond, by latitude north or south, in the heart of summer and
# of winter: drawn around the records of WMO_EXTREMES, between them OWN_JUDGEMENT
LATITUDE = (0.0, 20.0, 35.0, 50.0, 60.0, 70.0, 90.0)
SUMMER_HIGH_C = (45.0, 54.0, 58.0, 51.0, 42.0, 39.0, 22.0)
WINTER_HIGH_C = (45.0, 43.0, 37.0, 27.0, 21.0, 16.0, 8.0)
SUMMER_LOW_C = (-12.0, -14.0, -14.0, -12.0, -12.0, -15.0, -35.0)
WINTER_LOW_C = (-14.0, -28.0, -50.0, -60.0, -70.0, -72.0, -75.0)
MEAN_INSIDE_K = 12.0  # a mean of days stays so far within what one hour may reach, OWN_JUDGEMENT
MOST_OUTSIDE = 0.1  # of the hours: one spike is quality's business, OWN_JUDGEMENT
# afternoons against nights over five days and more, trend taken off: in no five days of 2013 were
# they colder (OWN_MEASURED_2013: least +0.2 K, half of the time over 5 K)
SWAPPED_K = -1.5
# two accounts of one air: five times what a forecast three days ahead errs, degF for degC is 16 K
# and more; a thermometer in the sun or beside a wall. OWN_JUDGEMENT
AGREE_K, READING_AGREES_K = 12.0, 15.0

# the day between a night's low and an afternoon's high: hours of the clock (OWN_MEASURED_2013: half
# cosines, error 2.1 K rms at Newark)
COLDEST_CLOCK_H, WARMEST_CLOCK_H = 5.0, 14.0
