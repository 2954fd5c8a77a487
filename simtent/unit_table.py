"""The tables of units and of kinds of quantities, for `units` alone to read.

Source of the factors: NIST Special Publication 811 (2008), appendix B: international foot and pound,
International Table Btu, US gallon of 231 cubic inches, conventional inch of water and of mercury. A standard cubic
foot of air weighs 0.075 lb: standard air of the ASHRAE Handbook, Fundamentals (from memory); so a flow told in scfm
is a mass, and streams add up however warm they are. kBtu, a thousand Btu, is told where SI has kWh: both are what a
fire gives in an hour or so, and who thinks of a stove in Btu/h would have to convert kilowatt hours.
"""

import math
from fractions import Fraction

BASE = ("m", "kg", "s", "K", "rad", "unity")
UNIT_TABLE = f"""
metre metres meter meters = 1 m; mm = 1/1000 m; cm centimetre centimetres centimeter centimeters = 1/100 m
km kilometre kilometres kilometer kilometers = 1000 m; ft foot feet ' = 0.3048 m; in inch inches " = 1/12 ft
yd yard yards = 3 ft; mi mile miles = 5280 ft; L l litre litres liter liters = 1/1000 m3; mL ml = 1/1000 L
gal gallon gallons = 231 in3; qt quart quarts = 1/4 gal; kilogram kilograms kilo kilos = 1 kg
g gram grams = 1/1000 kg; gsm = 1 g/m2; lb lbs pound pounds = 0.45359237 kg; oz ounce ounces = 1/16 lb
sec secs second seconds = 1 s; min mins minute minutes = 60 s; h hr hrs hour hours = 3600 s; d day days = 24 h
kph kmh = 1000/3600 m/s; mph = 1/3600 mi/s; kn kt kts knot knots = 1852/3600 m/s; cfm = 1/60 ft3/s
J joule joules = 1 kg m2/s2; kJ = 1000 J; MJ = 1000000 J; Wh = 3600 J; kWh = 3600000 J; Btu = 1055.05585262 J
kBtu = 1000 Btu; W watt watts = 1 J/s; mW = 1/1000 W; kW kilowatt kilowatts = 1000 W; MW = 1000000 W
Pa pascal pascals = 1 kg/(m s2); hPa mbar millibar millibars = 100 Pa; kPa = 1000 Pa; bar = 100000 Pa
psi = 9.80665 lb m/(s2 in2); inWater = 9806.65 in Pa/m; inHg = 133322.387415 in Pa/m
ng = 1/1000000000 g; perm perms = 1/7000 lb/(h ft2 inHg); scfm = 0.075 lb/min
kelvin kelvins = 1 K; degC C celsius = 1 K; degF F fahrenheit = 5/9 K; % percent = 1/100 unity
radian radians = 1 rad; deg degree degrees ° = {Fraction(math.pi) / 180} rad
"""
ZEROS = {"K": Fraction(0), "degC": Fraction("273.15"), "degF": Fraction("459.67") * 5 / 9}
# In another case another unit or another size.
CASE_MATTERS = frozenset({"m", "mm", "mL", "ml", "mW", "MW", "MJ", "mbar"})
# kind | words | units offered | shown in SI, decimals | shown in US units, decimals
KIND_TABLE = """
length | a length | mm, cm, m, km, in, ft, yd, mi | m, 2 | ft, 1
area | an area | mm2, cm2, m2, in2, ft2, yd2 | m2, 1 | ft2, 1
volume | a volume | mL, L, cm3, m3, in3, ft3, qt, gal | m3, 2 | ft3, 1
mass | a mass | g, kg, oz, lb | kg, 1 | lb, 1
water | a mass of water | g, kg, oz, lb | g, 0 | oz, 1
temperature | a temperature | degC, degF, K | degC, 1 | degF, 0
temperature_difference | a temperature difference | K, degC, degF | K, 1 | degF, 1
speed | a speed | m/s, km/h, mph, ft/s, kn | m/s, 1 | mph, 1
power | a power | W, kW, Btu/h | W, 0 | Btu/h, 0
energy | an energy | J, kJ, MJ, Wh, kWh, Btu, kBtu | kWh, 1 | kBtu, 1
flux | a heat flux | W/m2, kW/m2, Btu/(h ft2) | kW/m2, 2 | Btu/(h ft2), 0
density | a density | kg/m3, g/cm3, lb/ft3 | kg/m3, 0 | lb/ft3, 1
areal_density | a mass per area | g/m2, kg/m2, oz/yd2, lb/ft2 | g/m2, 0 | oz/yd2, 1
conductivity | a thermal conductivity | W/(m K), Btu in/(h ft2 degF) | W/(m K), 3 | Btu in/(h ft2 degF), 2
resistance | a thermal resistance | m2 K/W, ft2 h degF/Btu, R 4.8 us, R 0.8 si | m2 K/W, 2 | ft2 h degF/Btu, 1
conductance | a thermal conductance | W/K, Btu/(h degF) | W/K, 1 | Btu/(h degF), 1
pressure | a pressure | Pa, hPa, kPa, mbar, bar, inH2O, inHg, psi | Pa, 1 | in WC, 3
duration | a duration | s, min, h, d | min, 0 | min, 0
share | a share | % | %, 0 | %, 0
angle | an angle | deg, rad | deg, 0 | deg, 0
mass_flow | a mass flow | g/h, kg/h, kg/s, oz/h, lb/h | g/h, 0 | oz/h, 1
air_flow | a flow of air | g/s, kg/h, kg/s, lb/h, scfm | g/s, 1 | scfm, 1
permeance | a vapour permeance | perm, ng/(s m2 Pa) | ng/(s m2 Pa), 0 | perm, 1
flow | a volume flow | m3/s, m3/h, L/s, cfm, ft3/min | m3/h, 0 | cfm, 0
specific_heat | a specific heat | J/(kg K), kJ/(kg K), Btu/(lb degF) | J/(kg K), 0 | Btu/(lb degF), 2
"""
