"""Moist air. Rows only."""

# saturation pressure over water A exp(M T / (TN + T)) [hPa], T in degC (WMO_8)
MAGNUS_A_HPA, MAGNUS_M, MAGNUS_TN_C = 6.112, 17.62, 243.12
PSYCHROMETRIC_HPA_K = 0.668  # cp P / (0.622 Lv) at sea level (FAO_56)
