"""Heat, fuel, air, kiln and masonry: the plain formulas of the firing half."""

import math

from tests.check_values import library, ours, published

BW = "Babcock and Wilcox, Steam, its Generation and Use, 1919"
RELAIS = "wood heat value table of relaiscdo.eu"
MASONRY = "civil-engineering quantity notes"
SINGH = "Onkar Singh, Applied Thermodynamics, Example"
IAPWS = "iapws 1.5.5"
BATTERY = "battery page of 1000calculators.com"
GREEN = {"strength": 1e6, "modulus": 10e9, "poisson": 0.2, "expansion": 6e-6, "diffusivity": 4e-7}
SLAB = {"rate": 50 / 3600, "half_thickness": 0.035, "diffusivity": 5e-7}

ROWS = [
    # --- wood ---
    published(
        "fuel.net_calorific_value",
        (19.0, 20.0),
        14.72,
        0.011,
        f"{RELAIS}; it rounds to a hundredth the other way",
    ),
    published("fuel.net_calorific_value", (19.0, 40.0), 10.44, 0.021, f"{RELAIS}; as above"),
    ours("fuel.net_calorific_value", (19.0, 20.0), 14.712, 0.0005),
    ours("fuel.net_calorific_value", (18.5, 20.0), 14.312, 0.0005),
    published(
        "fuel.net_calorific_value",
        (18.7233, 30.0),
        12.37,
        0.02,
        "ETA installation manual, p. 69: pine 4.32 kWh/kg at 15 % is 3.44 at 30 %",
    ),
    ours("fuel.dry_calorific_value", (14.712, 20.0), 19.0, 0.0005),
    published("fuel.to_dry_basis", (20.0,), 25.0, 1e-9, "BC moisture note"),
    ours("fuel.to_wet_basis", (25.0,), 20.0, 1e-9),
    # --- air ---
    published("air.air_by_steam_book", (0.50, 0.06, 0.435), 6.0, 0.06, f"{BW}, table 32"),
    ours("air.air_by_steam_book", (0.50, 0.06, 0.435), 5.9544, 0.0001),
    ours("air.oxygen_needed", (0.5016, 0.0602, 0.4336), 1.380, 0.002),
    ours("air.air_ratio", (10.0,), 20.9 / 10.9, 0.01),
    ours("air.air_volume", (1.0, 20.0), 0.8300, 0.002),
    library("air.site_pressure", (1000.0,), 89875.0, 30.0, "psychrolib 2.5.0"),
    # --- draught, fan, battery ---
    published(
        "draught.draught",
        (30.48, (60 - 32) / 1.8, (500 - 32) / 1.8),
        167.0,
        2.0,
        f"{BW}, Chimneys and Draft: 0.67 in of water",
    ),
    published(
        "draught.flue_draught",
        (60.0, 16.85, 299.85, 19.0),
        34.1 * 9.80665,
        2.0,
        f"{SINGH} 11.4: 34.1 mm of water",
    ),
    ours(
        "draught.draught",
        (10.0, 20.0, 600.0),
        9.80665 * 10 * 101325 / 287.06 * (1 / 293.15 - 1 / 873.15),
        0.01,
    ),
    ours(
        "draught.flue_draught",
        (10.0, 20.0, 600.0, 12.0),
        353 * 9.80665 * 10 * (1 / 293.15 - 13 / 12 / 873.15),
        0.01,
    ),
    ours("draught.fan_power", (3600.0, 100.0, 0.5), 200.0, 1e-9),
    published("draught.battery_energy", (240.0, 5.0, 0.5, 0.9), 222.2 * 12, 0.6, BATTERY),
    published("draught.battery_charge", (222.2 * 12, 12.0), 222.2, 0.05, BATTERY),
    ours("draught.ideal_speed", (10.0, 20.0), math.sqrt(20 / 1.2041), 0.005),
    # --- heat in the brick ---
    ours("conduction.steady_lag", SLAB, 17.014, 0.001),
    ours(
        "conduction.ramp_lag",
        {**SLAB, "time": 7200.0},
        17.0014,
        0.001,
        "worked out here by finite differences",
    ),
    ours(
        "conduction.film_coefficient",
        (500.0, 500.0, 20.0, 0.8),
        20 + 0.8 * 5.670374e-8 * 4 * 773.15**3,
        0.05,
    ),
    ours(
        "conduction.gas_lag",
        {
            "rate": 50 / 3600,
            "density": 1800.0,
            "specific_heat": 1000.0,
            "volume": 0.001771,
            "film": 30.0,
            "area": 0.0982,
        },
        50 / 3600 * 1800 * 1000 * 0.001771 / (30 * 0.0982),
        0.001,
    ),
    ours("properties.diffusivity", (0.7, 1800.0, 1000.0), 3.8889e-7, 0.0001e-7),
    ours(
        "properties.heat_content",
        (950.0,),
        1023.9e3,
        300.0,
        "worked out here from Michot's specific heat, 25 to 950 degC",
    ),
    # --- steam, carbon ---
    *[
        published("rates.steam_pressure", (kelvin - 273.15,), p, 1e-7 * p, "IAPWS R7-97, table 35")
        for kelvin, p in ((300.0, 3536.58941), (500.0, 2638897.76), (600.0, 12344314.6))
    ],
    *[
        library("rates.steam_pressure", (t,), p * 1000, 51.0, IAPWS)
        for t, p in ((120.0, 198.7), (150.0, 476.1), (200.0, 1554.7))
    ],
    ours("carbon.carbon_density", (0.01, 1800.0), 1498.6, 0.5),
    ours("carbon.oxygen_density", (0.21, 749.85), 2.5016, 0.002),
    ours("carbon.burn_out_time", (0.035, 1498.6, 2.5016, 5e-6), 20.4, 0.05),
    ours("carbon.burn_out_time", (0.035, 1498.6, 0.05 / 0.21 * 2.5016, 5e-6), 85.6, 0.2),
    # --- thermocouple ---
    *[
        library("thermocouple.emf_of_k", (t,), mv, 0.0006, "thermocouples_reference 0.20")
        for t, mv in ((100.0, 4.096), (200.0, 8.138), (500.0, 20.644), (1000.0, 41.276))
    ],
    published("thermocouple.tolerance", (950.0,), 7.1, 0.05, "picopolska.pl after IEC 60584"),
    # --- cooling ---
    ours("cooling.cooling_time", (950.0, 100.0, 20.0, 12.0), 29.4, 0.05),
    published(
        "cooling.lumped_temperature",
        {
            "start": 426.75,
            "air": 121.15,
            "film": 11.36,
            "area": 4 * math.pi * 0.0254**2,
            "heat_capacity": 4 / 3 * math.pi * 0.0254**3 * 7849 * 460.6,
            "time": 3600.0,
        },
        474.6 - 273.15,
        0.1,
        "Geankoplis, Transport Processes and Unit Operations, 5.2-1",
    ),
    # --- stress, boiling, specific heat, heat-work ---
    ours("rates.stress_climb", {**GREEN, "half_thickness": 0.025}, 184.0, 0.5),
    ours("rates.stress_climb", {**GREEN, "half_thickness": 0.035}, 94.0, 0.5),
    ours("rates.stress_fall", {**GREEN, "half_thickness": 0.025}, 92.0, 0.5),
    ours("rates.stress_fall", {**GREEN, "half_thickness": 0.050}, 23.0, 0.5),
    ours(
        "rates.boiling_time",
        {
            "water": 0.03,
            "density": 1800.0,
            "half_thickness": 0.035,
            "conductivity": 0.6,
            "difference": 50.0,
        },
        2490.0,
        1.0,
    ),
    ours("properties.specific_heat", (400.0,), 1128 + 0.102 * 673.15 - 36e6 / 673.15**2, 0.001),
    *[
        ours("properties.heat_content", (t,), h * 1000, 60.0)
        for t, h in ((100.0, 62.9), (400.0, 374.3), (800.0, 841.2), (1050.0, 1147.4))
    ],
    ours("properties.brick_conductivity", (1680.0,), 0.7275, 1e-9, "worked out here: half way"),
    *[
        library("properties.brick_conductivity", (rho,), k, 1e-6, "ht.insulation (ASHRAE)")
        for rho, k in ((1600.0, 0.675), (1760.0, 0.78), (1920.0, 0.895), (2080.0, 1.02))
    ],
    ours(
        "heat_work.equivalent_time",
        (2.0, 900.0, 950.0, 400e3),
        2 * math.exp(-400e3 / 8.3145 * (1 / 1173.15 - 1 / 1223.15)),
        1e-6,
    ),
    ours(
        "heat_work.one_hour_temperature",
        (3600 * math.exp(-400e3 / (8.3145 * 1223.15)), 400e3),
        950.0,
        0.001,
    ),
    ours("kinetics.carbonate_equilibrium", (894.0,), 1.0, 0.02),
    library(
        "heat_balance.steam_heat",
        (100.0,),
        2442.0 + 141.0,
        2.0,
        "iapws 1.5.5 for vapour at low pressure: 1.88 kJ/(kg K)",
    ),
    # --- counting bricks ---
    published("masonry.bricks_per_volume", (0.190, 0.090, 0.090, 0.010), 500.0, 0.5, MASONRY),
    published("masonry.bricks_per_area", (0.215, 0.065, 0.010), 59.3, 0.05, "DIY brick count, UK"),
    published(
        "masonry.bricks_per_area", (0.215, 0.065, 0.010, 2), 118.5, 0.05, "DIY brick count, UK"
    ),
    published("masonry.bricks_per_area", (0.190, 0.090, 0.010, 2), 100.0, 0.05, MASONRY),
    ours(
        "masonry.cylinder_volume",
        (1.1, 1.56, 2.1),
        8.073,
        0.005,
        "worked out here; the page it comes from prints half of it",
    ),
]
