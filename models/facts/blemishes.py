"""What mars a face and weakens nothing. Rows only."""

# white salts come to a young face that stays cold and wet, by rain, dew or condensation
# (CONCRETE_EFFLORESCENCE, PRECAST_EFFLORESCENCE): under so many degrees for so many hours on end of
# the days ahead, within so many days of its being bare. OWN_JUDGEMENT
EFFLORESCES_C, EFFLORESCES_H = 10.0, 4.0
EFFLORESCES_AHEAD_H, EFFLORESCES_FOR_D = 72.0, 14.0
EFFLORESCES_CHANCE = 0.5  # from these odds on it is told, OWN_JUDGEMENT
# faces of boards whose sugars hold the setting back, most of all when they lay in the sun
SUGARY_BOARDS = ("plywood",)  # CONCRETE_SOCIETY_733
# damp longer than this a mix with polymer makes no film of it: ACI_548_3R (one to two days)
POLYMER_WET_H = 48.0
