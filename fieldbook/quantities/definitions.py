"""Definitions for pint, in the words of their standards: NIST SP 811 (2008), appendix B.

They are written apart from the table of sizes, so that each proves the other.
"""

DEFINITIONS = """
milli- = 1e-3 = m-
centi- = 1e-2 = c-
deci- = 1e-1 = d-
hecto- = 1e2 = h-
kilo- = 1e3 = k-
mega- = 1e6 = M-
giga- = 1e9 = G-
micro- = 1e-6 = u-

meter = [length] = m = metre
second = [time] = s = sec
gram = [mass] = g
ampere = [current] = A
kelvin = [temperature]; offset: 0 = K = degK
mole = [substance] = mol

degree_Celsius = kelvin; offset: 273.15 = _ = degC = celsius
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = _ = degF = fahrenheit

percent = 0.01

minute = 60 * second = min
hour = 60 * minute = h = hr
day = 24 * hour = d
week = 7 * day
year = 365.25 * day = yr
month = year / 12

inch = 2.54 * centimeter = in
foot = 12 * inch = ft
yard = 3 * foot = yd
mile = 1760 * yard = mi
nautical_mile = 1852 * meter
knot = nautical_mile / hour = kn
mph = mile / hour
fpm = foot / minute

liter = 1e-3 * meter ** 3 = l = L = litre
cubic_centimeter = centimeter ** 3 = cc
gallon = 231 * inch ** 3 = gal
quart = gallon / 4 = qt
pint = quart / 2 = pt
cup = pint / 2
fluid_ounce = pint / 16 = fl_oz
imperial_gallon = 4.54609 * liter = imp_gal
imperial_quart = imperial_gallon / 4 = imp_qt
imperial_pint = imperial_quart / 2 = imp_pt
bushel = 2150.42 * inch ** 3 = bu
cord = 4 * foot * 4 * foot * 8 * foot
stere = meter ** 3

tonne = 1000 * kilogram = t
pound = 0.45359237 * kilogram = lb
ounce = pound / 16 = oz
stone = 14 * pound = st
short_ton = 2000 * pound
long_ton = 20 * 112 * pound

standard_gravity = 9.80665 * meter / second ** 2 = g_0
newton = kilogram * meter / second ** 2 = N
pound_force = pound * standard_gravity = lbf
kilogram_force = kilogram * standard_gravity = kgf

pascal = newton / meter ** 2 = Pa
bar = 1e5 * pascal
atmosphere = 101325 * pascal = atm
psi = pound_force / inch ** 2
mm_water = 1000 * kilogram / meter ** 3 * standard_gravity * millimeter
cm_water = 10 * mm_water
in_water = 1000 * kilogram / meter ** 3 * standard_gravity * inch
mmHg = 13595.1 * kilogram / meter ** 3 * standard_gravity * millimeter
inHg = 13595.1 * kilogram / meter ** 3 * standard_gravity * inch

joule = newton * meter = J
watt = joule / second = W
watt_hour = watt * hour = Wh
horsepower = 550 * foot * pound_force / second = hp
calorie = 4.1868 * joule = cal
british_thermal_unit = calorie * pound / gram * delta_degree_Fahrenheit / kelvin = BTU = Btu
ampere_hour = ampere * hour = Ah
volt = watt / ampere = V
cfm = foot ** 3 / minute
cfh = foot ** 3 / hour
"""
