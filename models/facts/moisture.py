"""Drying of concrete: the diffusion law and its time factors until the section itself is computed."""

# D = D1 (alpha + (1 - alpha) / (1 + ((1 - h) / (1 - hc))^n)), BAZANT_NAJJAR_1972 with CEB-FIP values
D1_MM2_D = 28.8  # fck 30, EN/CEB: 1e-8 / fck m2/s
ALPHA, HC, N = 0.05, 0.80, 15.0
TEMPERATURE_Q_R_K = 2700.0  # Arrhenius temperature of the diffusivity

# time factor D1 t / a^2 for the point at 20 % depth (two faces) to fall to a pore humidity, air 50 %
TIME_FACTOR = {0.95: 0.057, 0.90: 0.147, 0.85: 0.367, 0.80: 0.877, 0.75: 1.78}
