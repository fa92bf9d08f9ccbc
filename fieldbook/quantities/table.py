"""The units that makers of bricks write, and their size in the canonical unit of each dimension.

Sizes: NIST Special Publication 811 (2008), appendix B; gallon, quart, pint and fluid ounce are
those of the United States unless they say `imp`; BTU and kcal are of the International Table;
columns of water are the conventional ones (1000 kg/m3 under 9.80665 m/s2).
A month is a twelfth and a year 365.25 days, as good as anyone's memory of an ageing clay.
"""

from typing import NamedTuple

STANDARD_GRAVITY = 9.80665
"""[m/s2] by which a mass is read as its weight (CGPM 1901)."""
ABSOLUTE_ZERO = -273.15
"""[degC]"""

_POUND = 0.45359237
_INCH = 0.0254
_FOOT = 0.3048
_GALLON = 231 * _INCH**3
_IMPERIAL_GALLON = 4.54609e-3
_BTU = 1055.05585262
_FAHRENHEIT = 5 / 9


class Unit(NamedTuple):
    """One unit: canonical value = factor * number + offset."""

    name: str
    dimension: str
    factor: float
    offset: float = 0.0


CANONICAL = {
    "length": "m",
    "mass": "kg",
    "volume": "m3",
    "temperature": "degC",
    "difference": "K",
    "rate": "K/h",
    "force": "N",
    "percent": "%",
    "time": "h",
    "density": "kg/m3",
    "area": "m2",
    "power": "W",
    "energy": "Wh",
    "charge": "Ah",
    "voltage": "V",
    "current": "A",
    "flow": "m3/h",
    "pressure": "Pa",
    "conductivity": "W/(m K)",
    "calorific": "MJ/kg",
    "speed": "m/s",
}
"""Dimension -> the unit in which every amount of it is held."""

# Dimension -> unit -> (size in the canonical unit, other spellings divided by |).
# Plurals in s and es, other cases of letters and a full stop at the end are understood as well.
SIZES: dict[str, dict[str, tuple[float, str]]] = {
    "length": {
        "m": (1.0, "metre|meter"),
        "mm": (1e-3, "millimetre|millimeter"),
        "cm": (1e-2, "centimetre|centimeter"),
        "dm": (1e-1, "decimetre|decimeter"),
        "km": (1e3, "kilometre|kilometer"),
        "um": (1e-6, "µm|μm|micrometre|micrometer"),
        "in": (_INCH, 'inch|"|″|”'),
        "ft": (_FOOT, "foot|feet|'|′|’"),
        "yd": (3 * _FOOT, "yard"),
        "mi": (5280 * _FOOT, "mile"),
    },
    "mass": {
        "kg": (1.0, "kilogram|kilogramme|kilo"),
        "g": (1e-3, "gram|gramme|gm"),
        "mg": (1e-6, "milligram|milligramme"),
        "t": (1e3, "tonne|metric ton"),
        "lb": (_POUND, "pound"),
        "oz": (_POUND / 16, "ounce"),
        "st": (14 * _POUND, "stone"),
        "short ton": (2000 * _POUND, "US ton"),
        "long ton": (2240 * _POUND, "imperial ton"),
    },
    "volume": {
        "m3": (1.0, "cubic metre|cubic meter|cu m"),
        "l": (1e-3, "litre|liter|dm3"),
        "ml": (1e-6, "millilitre|milliliter|cm3|cc"),
        "cl": (1e-5, "centilitre|centiliter"),
        "mm3": (1e-9, ""),
        "ft3": (_FOOT**3, "cubic foot|cubic feet|cu ft"),
        "in3": (_INCH**3, "cubic inch|cu in"),
        "yd3": (27 * _FOOT**3, "cubic yard|cu yd"),
        "gal": (_GALLON, "gallon|US gal|US gallon"),
        "qt": (_GALLON / 4, "quart"),
        "pt": (_GALLON / 8, "pint"),
        "cup": (_GALLON / 16, ""),
        "fl oz": (_GALLON / 128, "fluid ounce"),
        "imp gal": (_IMPERIAL_GALLON, "imperial gallon"),
        "imp qt": (_IMPERIAL_GALLON / 4, "imperial quart"),
        "imp pt": (_IMPERIAL_GALLON / 8, "imperial pint"),
        "bu": (2150.42 * _INCH**3, "bushel"),
        "cord": (128 * _FOOT**3, ""),
        "stere": (1.0, ""),
    },
    "difference": {
        "K": (1.0, "kelvin|degK|delta_K"),
        "delta_degC": (1.0, "C|degC|celsius|deg celsius|celsius deg|centigrade|C deg"),
        "delta_degF": (_FAHRENHEIT, "F|degF|fahrenheit|deg fahrenheit|fahrenheit deg|F deg"),
    },
    "force": {
        "N": (1.0, "newton"),
        "kN": (1e3, "kilonewton"),
        "lbf": (_POUND * STANDARD_GRAVITY, "pound force|pound-force"),
        "kgf": (STANDARD_GRAVITY, "kp|kilopond|kilogram force|kilogram-force"),
    },
    "percent": {"%": (1.0, "percent|per cent|pct|pc")},
    "time": {
        "h": (1.0, "hour|hr"),
        "min": (1 / 60, "minute|m"),
        "s": (1 / 3600, "second|sec"),
        "d": (24.0, "day"),
        "week": (168.0, "wk"),
        "month": (365.25 * 24 / 12, ""),
        "year": (365.25 * 24, "yr"),
    },
    "density": {"g/cm3": (1e3, "g/cc"), "t/m3": (1e3, "")},
    "area": {
        "m2": (1.0, "square metre|square meter|sq m"),
        "cm2": (1e-4, "square centimetre|square centimeter|sq cm"),
        "mm2": (1e-6, "square millimetre|square millimeter|sq mm"),
        "in2": (_INCH**2, "square inch|sq in"),
        "ft2": (_FOOT**2, "square foot|square feet|sq ft"),
        "yd2": (9 * _FOOT**2, "square yard|sq yd"),
    },
    "power": {
        "W": (1.0, "watt"),
        "kW": (1e3, "kilowatt"),
        "hp": (550 * _FOOT * _POUND * STANDARD_GRAVITY, "horsepower"),
    },
    "energy": {
        "Wh": (1.0, "watt hour|watt-hour|W h"),
        "kWh": (1e3, "kilowatt hour|kilowatt-hour|kW h"),
        "J": (1 / 3600, "joule"),
        "kJ": (1e3 / 3600, "kilojoule"),
        "MJ": (1e6 / 3600, "megajoule"),
        "GJ": (1e9 / 3600, "gigajoule"),
        "BTU": (_BTU / 3600, "Btu"),
        "kcal": (4186.8 / 3600, "kilocalorie"),
    },
    "charge": {"Ah": (1.0, "A h|amp hour|ampere hour|amp-hour"), "mAh": (1e-3, "mA h")},
    "voltage": {"V": (1.0, "volt"), "mV": (1e-3, "millivolt"), "kV": (1e3, "kilovolt")},
    "current": {"A": (1.0, "amp|ampere"), "mA": (1e-3, "milliamp|milliampere")},
    "flow": {"cfm": (60 * _FOOT**3, "ft3/min"), "cfh": (_FOOT**3, "ft3/h")},
    "pressure": {
        "Pa": (1.0, "pascal"),
        "hPa": (1e2, "hectopascal"),
        "kPa": (1e3, "kilopascal"),
        "MPa": (1e6, "megapascal|N/mm2"),
        "bar": (1e5, ""),
        "mbar": (1e2, "millibar"),
        "mm water": (STANDARD_GRAVITY, "mmwater|mm of water|mm wg|mm WC"),
        "cm water": (10 * STANDARD_GRAVITY, "cmwater|cm of water"),
        "in water": (
            1000 * _INCH * STANDARD_GRAVITY,
            "inwater|inch water|in of water|inch of water|inches of water|in wg|in WC",
        ),
        "psi": (_POUND * STANDARD_GRAVITY / _INCH**2, "lb/in2|lbf/in2"),
        "mmHg": (13.5951 * STANDARD_GRAVITY, "mm Hg|mm of mercury"),
        "inHg": (13595.1 * _INCH * STANDARD_GRAVITY, "in Hg|in of mercury"),
        "atm": (101325.0, "atmosphere"),
    },
    "conductivity": {
        "W/(m K)": (1.0, "W/m K|W/mK|W/m/K|W/(mK)|W/(m degC)|W/m degC|W/(m C)|W/mC"),
        "BTU/(h ft F)": (
            _BTU / 3600 / (_FOOT * _FAHRENHEIT),
            "BTU/h ft F|BTU/(hr ft F)|BTU/(h ft degF)|BTU/(hr ft degF)",
        ),
        "BTU in/(h ft2 F)": (
            _BTU / 3600 * _INCH / (_FOOT**2 * _FAHRENHEIT),
            "BTU in/h ft2 F|BTU in/(hr ft2 F)|BTU in/(h ft2 degF)|BTU in/(hr ft2 degF)",
        ),
    },
    "calorific": {},
    "speed": {
        "mph": (5280 * _FOOT / 3600, ""),
        "kn": (1852 / 3600, "knot"),
        "fpm": (_FOOT / 60, ""),
    },
    "rate": {},
}

OFFSET_UNITS = {
    "degC": (1.0, 0.0, "C|celsius|deg celsius|centigrade"),
    "degF": (_FAHRENHEIT, -32 * _FAHRENHEIT, "F|fahrenheit|deg fahrenheit"),
    "K": (1.0, ABSOLUTE_ZERO, "kelvin|degK"),
}
"""Units of temperature: name -> (factor, offset, other spellings)."""

QUOTIENTS = {
    "rate": ("difference", "time"),
    "density": ("mass", "volume"),
    "flow": ("volume", "time"),
    "calorific": ("energy", "mass"),
    "speed": ("length", "time"),
    "power": ("energy", "time"),
}
"""Dimensions whose units may be written as one unit over another."""
