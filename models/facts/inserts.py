"""What is cast in and stays: what wet cement and heat do to it, and the cone that it pulls out."""

# mean breakout of a head cast into cracked concrete: N = kc sqrt(f'c) h^1.5, lb, psi and in
# (ACI_318_BREAKOUT), by conversion newtons, MPa and mm
BREAKOUT_PSI = 24.0  # ACI_318_BREAKOUT
BREAKOUT = BREAKOUT_PSI * 4.4482216 / (0.0068947573**0.5 * 25.4**1.5)  # ACI_318_BREAKOUT, 10.0
# as far as the cone reaches, over its depth; less edge leaves less cone (ACI_318_BREAKOUT)
CONE_REACH = 1.5  # ACI_318_BREAKOUT
EDGE_LEAST, EDGE_REST = 0.7, 0.3  # ACI_318_BREAKOUT, 17.6.2.4.1
RESISTANCE = 0.70  # on breakout without bars about it: ACI 318-19 table 17.5.3, from memory
LOAD = 1.6  # on what pulls: live load of ACI 318-19 table 5.3.1, from memory
FLAME_GAP_MM = 3.0  # round metal that grows by a flame: COMMON_PRACTICE
EDGE_MM = 20.0  # least concrete beside an insert: OWN_JUDGEMENT, as beside an opening

REACTS = {"aluminium": "insert_aluminium", "zinc": "insert_zinc"}  # in wet cement: CC_NONFERROUS
METALS = ("aluminium", "zinc", "steel", "stainless", "brass")  # by definition
BURNS = ("wood", "plastic")  # COMMON_PRACTICE
