"""Least curing days by surface temperature and strength development. Rows only."""

# rows: least surface temperature [degC]; columns by r = fcm2 / fcm28: >= 0.50, >= 0.30, >= 0.15, below
# (DIN_1045_3, page 10-7-3)
R_LIMITS = (0.50, 0.30, 0.15, 0.0)
FLOORS_C = (25.0, 15.0, 10.0, 5.0)
DIN_DAYS = (  # DIN_1045_3 page 10-7-3, to half of the characteristic strength
    (1.0, 2.0, 2.0, 3.0),
    (1.0, 2.0, 4.0, 5.0),
    (2.0, 4.0, 7.0, 10.0),
    (3.0, 6.0, 10.0, 15.0),
)
EN_MEDIUM_DAYS = {  # EN_13670 tables F.1 to F.3, medium strength development, same floors
    2: (1.5, 2.5, 4.0, 5.0),
    3: (2.5, 4.0, 7.0, 9.0),
    4: (5.0, 9.0, 13.0, 18.0),
}
# a glass-fibre mix with so much polymer, dry of the mass of cement, keeps its own water: CONCRETE_NETWORK_GFRC
# has 5 % for what seven damp days give, 4 is where it begins to be asked for (OWN_JUDGEMENT)
POLYMER_PCT = 4.0
# it lies under film overnight, no colder than its polymer makes a film: 12 to 16 h at 60 degF or more (TYPICAL_SHEET)
POLYMER_FILM_H, POLYMER_FILM_C = 16.0, 15.6
POLYMER_AGE_D = 7.0  # of its coats where no sheet says: in use at 3 d (CONCRETE_NETWORK_GFRC), the rest OWN_JUDGEMENT
EARLY_H = 48.0  # equivalent age at which the curing classes judge the pace (DIN_1045_3)
