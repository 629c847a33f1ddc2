"""Physical constants, SI, each with the key of its source (data/sources)."""

# Each name is a plain float; SOURCES tells where its value comes from.
STANDARD_GRAVITY = 9.80665            # m/s^2
SEA_LEVEL_TEMPERATURE = 288.15        # K
SEA_LEVEL_PRESSURE = 101325.0         # Pa
TEMPERATURE_LAPSE = 0.0065            # K/m, troposphere
AIR_GAS_CONSTANT = 287.05287          # J/(kg K)
HEAT_RATIO_AIR = 1.4                  # 1
EARTH_RADIUS = 6356766.0              # m, for geopotential height
SUTHERLAND_COEFFICIENT = 1.458e-6     # kg/(s m K^0.5)
SUTHERLAND_TEMPERATURE = 110.4        # K
AIR_CONDUCTION_COEFFICIENT = 2.64638e-3  # W/(m K^1.5)
AIR_CONDUCTION_TEMPERATURE = 245.4    # K
AIR_CONDUCTION_EXPONENT = -12.0       # K, power of ten over the temperature
STEFAN_BOLTZMANN = 5.670374419e-8     # W/(m^2 K^4)
ZERO_CELSIUS = 273.15                 # K
COPPER_RESISTIVITY = 1.0 / 58.0e6     # ohm m at 20 degC
COPPER_TEMPERATURE_COEFFICIENT = 0.00393  # 1/K at 20 degC
COPPER_DENSITY = 8890.0               # kg/m^3
COPPER_REFERENCE_TEMPERATURE = 293.15  # K
VACUUM_PERMEABILITY = 4.0e-7 * 3.141592653589793  # H/m
WATER_VAPOUR_MASS_RATIO = 0.62198      # 1, molar mass of water over that of dry air
MAGNUS_PRESSURE = 611.2               # Pa, saturation over water at 0 degC
MAGNUS_SLOPE = 17.62                  # 1
MAGNUS_TEMPERATURE = 243.12           # K
AWG_BASE_DIAMETER = 0.127e-3           # m, diameter of AWG 36 by definition
AWG_BASE_GAUGE = 36.0                  # 1
AWG_SPAN_RATIO = 92.0                  # 1, diameter of AWG 0000 over AWG 36
AWG_SPAN_STEPS = 39.0                  # 1, steps between them

SOURCES = {
    "STANDARD_GRAVITY": "ussa1976",
    "SEA_LEVEL_TEMPERATURE": "ussa1976",
    "SEA_LEVEL_PRESSURE": "ussa1976",
    "TEMPERATURE_LAPSE": "ussa1976",
    "AIR_GAS_CONSTANT": "ussa1976",
    "HEAT_RATIO_AIR": "ussa1976",
    "EARTH_RADIUS": "ussa1976",
    "SUTHERLAND_COEFFICIENT": "ussa1976",
    "SUTHERLAND_TEMPERATURE": "ussa1976",
    "AIR_CONDUCTION_COEFFICIENT": "ussa1976",
    "AIR_CONDUCTION_TEMPERATURE": "ussa1976",
    "AIR_CONDUCTION_EXPONENT": "ussa1976",
    "STEFAN_BOLTZMANN": "si_brochure",
    "ZERO_CELSIUS": "si_brochure",
    "COPPER_RESISTIVITY": "iec60028",
    "COPPER_TEMPERATURE_COEFFICIENT": "iec60028",
    "COPPER_DENSITY": "iec60028",
    "COPPER_REFERENCE_TEMPERATURE": "iec60028",
    "VACUUM_PERMEABILITY": "si_brochure",
    "WATER_VAPOUR_MASS_RATIO": "wmo8",
    "MAGNUS_PRESSURE": "wmo8",
    "MAGNUS_SLOPE": "wmo8",
    "MAGNUS_TEMPERATURE": "wmo8",
    "AWG_BASE_DIAMETER": "astm_b258",
    "AWG_BASE_GAUGE": "astm_b258",
    "AWG_SPAN_RATIO": "astm_b258",
    "AWG_SPAN_STEPS": "astm_b258",
}
