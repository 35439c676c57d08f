"""Yards, roofs and rooms: what they make of the weather, and how heat in them fails. Rows only."""

# wind at the piece as a fraction of the 10 m wind: yard between fences, roof with open sides.
# OWN_JUDGEMENT
YARD_WIND, ROOF_WIND = 0.5, 0.25
INDOOR_DRAUGHT_M_S = 0.1  # OWN_JUDGEMENT
ROOM_LAG_H, ROOM_LAG_SPREAD = 8.0, 0.6  # OWN_JUDGEMENT between garages of 2 to 20 h
ROOM_OFFSET_K, ROOM_OFFSET_SD_K = 1.5, 2.0  # OWN_JUDGEMENT
GIVEN_LAG_SPREAD, GIVEN_OFFSET_SD_K = 0.2, 0.7  # of what a maker tells, OWN_JUDGEMENT
LEAST_LAG_SPREAD, LEAST_OFFSET_SD_K = 0.2, 0.5  # readings share their thermometer: OWN_JUDGEMENT
SETPOINT_SD_K = 1.0  # of what a heater is set to, OWN_JUDGEMENT
HEATED_SD_K = 0.5  # of a heated room about its own mean, OWN_JUDGEMENT
# from hour to hour: what it was at midnight says little of the morning, OWN_JUDGEMENT
HEATED_MEMORY = 0.6
WARM_UP_H = 1.0  # the air of a room nears what a heater is set to, OWN_JUDGEMENT
# vapour that pieces that cure or dry, wet floors and people add to a room's air [hPa] at 0 degC outdoors
# and the spread of its logarithm, falling to a fifth at 20 degC: 0.2 to 1 m2 that lose 0.04 kg/m2h
# (UNO_1998 in still air) in 40 to 100 m3 whose air changes 0.5 to 3 times an hour are 0.03 to 2.6 hPa.
# OWN_JUDGEMENT; so nearly all lie in the lowest class of ISO_13788
VAPOUR_HPA, VAPOUR_SPREAD = 0.3, 1.1
VAPOUR_WARM, VAPOUR_WARM_C = 0.2, 20.0  # OWN_JUDGEMENT; ISO_13788 lets it fall to nothing there
DAMPEST_RH = 0.97  # what is more condenses on the coldest walls, OWN_JUDGEMENT
# what a dehumidifier holds, and from which temperature one that cools its air does: 40 to 60 % is asked of
# sites; both OWN_JUDGEMENT
DRIED_RH, DRIES_FROM_C = 0.50, 8.0
COOLER_K = 2.0  # a tent so much cooler than it is kept has lost its heat, OWN_JUDGEMENT

# of a heater: that it is off for the run; that a failure which somebody read is set right soon
# after, the mean hours until then and else; until a room is warm again. OWN_JUDGEMENT
HEATER_FAILS = 0.03
MENDED_FRACTION = 0.8
SOON_H, LATE_H = 0.5, 8.0
WARMS_H = (0.5, 1.5)
# what nobody foresaw lasts [h], in a heated place, and the spread of its logarithm: OWN_JUDGEMENT
LASTS_H, HEATING_OFF_H = 16.0, 6.0
LASTS_SPREAD = 0.6
