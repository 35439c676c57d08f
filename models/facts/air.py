"""Moist air. Rows only."""

# saturation pressure over water A exp(M T / (TN + T)) [hPa], T in degC (WMO_8)
MAGNUS_A_HPA, MAGNUS_M, MAGNUS_TN_C = 6.112, 17.62, 243.12
PSYCHROMETRIC_HPA_K = 0.668  # cp P / (0.622 Lv) at sea level (FAO_56)
SUNSET_DEG = -0.833  # upper limb on the horizon, refraction in it (Astronomical Almanac)
CIVIL_DUSK_DEG = -6.0  # from here on work outdoors needs a lamp (Astronomical Almanac)
HIGHEST_DEW_C = 36.0  # no higher dew point is on record (35 degC), from memory

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
