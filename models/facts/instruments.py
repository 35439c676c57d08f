"""How far readings, results and eyes miss, one standard deviation each. Rows only."""

# beside and in the piece [K]: a thermometer of the air and what it stands for; a probe; infrared on
# the face; a thermometer in a room that is learned, with doors and sun, twice what a quiet one
# would leave. OWN_JUDGEMENT
AIR_SD_K = 0.7
READING_SD_K = {"concrete": 1.0, "surface": 2.1}
ROOM_READING_SD_K = 1.0
# how long the error of one instrument stays alike, and the fraction of its variance that all its
# readings share: OWN_JUDGEMENT
ALIKE_H, SHARED = 1.0, 0.36
# of concrete as placed [K]: measured; of bags and water that were measured (their masses are not);
# guessed from the air. OWN_JUDGEMENT
MEASURED_SD_K, MIXED_SD_K, GUESSED_SD_K = 0.5, 1.0, 2.0
# of the dew point's distance from the air [K]: a hygrometer of 3 % is off by as much, the same at
# each reading; what one reading is off by itself; how far a yard, and a room that is aired, wetted
# and dried by people, lies from the weather's. OWN_JUDGEMENT
HUMIDITY_SHARED_SD_K, HUMIDITY_OWN_SD_K = 0.7, 0.5
HUMIDITY_YARD_SD_K, HUMIDITY_ROOM_SD_K = 1.0, 4.0

# of the logarithm: when a thumb or a nail says that it has set; what a broken cube and a broken bar
# tell of the piece, OWN_JUDGEMENT (within a batch ACI_214R has less)
SEEN_SET_SD = 0.12
TEST_SD, BAR_SD = 0.10, 0.20
SCALE_SD_PCT = 0.02  # of the mass: a kitchen scale, a tile brushed clean; OWN_JUDGEMENT
# of the loss: a tile is not the piece, sorption is not known; shared by a series. OWN_JUDGEMENT
TILE_SD = 0.25
# mean humidity at which half of the films show water, and its spread: OWN_JUDGEMENT
FILM_WET_RH, FILM_WET_SPREAD = 0.90, 0.04
