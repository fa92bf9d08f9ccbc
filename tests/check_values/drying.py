"""Drying laws, evaporation, moist air."""

from tests.check_values import library, ours, published

G = "Geankoplis, Transport Processes and Unit Operations, Example"
CR = "Coulson and Richardson, volume 2, problem"
TRAY = {"dry_mass_by_area": 399 / 18.58, "rate": 1.51}
PSYCHROLIB = "psychrolib 2.5.0"

AIR = [  # degC, %, humidity ratio, wet bulb, dew point, p_v, drying force
    (15.0, 80.0, 0.008489, 12.985, 11.582, 1364.4, 132.0),
    (20.0, 50.0, 0.007262, 13.783, 9.272, 1169.4, 406.9),
    (25.0, 50.0, 0.009881, 17.889, 13.864, 1584.6, 465.4),
    (28.0, 75.0, 0.017913, 24.457, 23.153, 2836.7, 231.3),
    (30.0, 40.0, 0.010603, 20.064, 14.936, 1698.4, 649.7),
    (35.0, 30.0, 0.010539, 21.524, 14.844, 1688.3, 880.5),
]

ROWS = [
    published("drying_law.constant_rate_time", (0.38, 0.25, 21.5, 1.51), 1.85, 0.005, f"{G} 9.6-2"),
    ours("drying_law.constant_rate_time", (0.38, 0.195, 399 / 18.58, 1.51), 2.631, 0.001),
    published(
        "drying_law.falling_rate_time",
        {"first": 0.195, "last": 0.040, "critical": 0.195, "equilibrium": 0.0, **TRAY},
        4.39,
        0.005,
        f"{G} 9.7-2",
    ),
    ours(
        "drying_law.drying_time",
        {"first": 0.38, "last": 0.040, "critical": 0.195, "equilibrium": 0.0, **TRAY},
        7.02,
        0.005,
    ),
    published(
        "drying_law.drying_time",
        {
            "first": 0.30,
            "last": 0.08,
            "critical": 0.15,
            "equilibrium": 0.05,
            "dry_mass_by_area": 1.0,
            "rate": 0.1129 * 0.10 * 3.6,
        },
        6.65,
        0.01,
        f"{CR} 16.1; its constant, 0.1129 a ks, is rounded",
    ),
    ours(
        "drying_law.time_by_measured_rates",
        (
            [0.195, 0.150, 0.100, 0.065, 0.050, 0.040],
            [1.51, 1.21, 0.90, 0.71, 0.37, 0.27],
            399 / 18.58,
        ),
        0.1889 * 399 / 18.58,
        0.005,
        f"worked out here from the data of {G} 9.7-1",
    ),
    published(
        "drying_law.drying_rates",
        (
            [0.0, 0.4, 0.8, 1.0, 1.4],
            [
                5.314 / 4.12 - 1,
                5.238 / 4.12 - 1,
                5.162 / 4.12 - 1,
                5.124 / 4.12 - 1,
                5.048 / 4.12 - 1,
            ],
            4.12,
        ),
        [0.19, 0.19, 0.19, 0.19],
        0.0005,
        "Anantharaman and Begum, Elements of Mass Transfer 1, Example 6.5",
    ),
    ours(
        "drying_law.drying_rates",
        (
            [3.4, 4.2, 4.6, 5.0, 6.0],
            [mass / 4.12 - 1 for mass in (4.667, 4.524, 4.468, 4.426, 4.340)],
            4.12,
        ),
        [0.179, 0.140, 0.105, 0.086],
        0.0005,
        "worked out here from the data of Anantharaman and Begum, Example 6.5",
    ),
    ours(
        "moisture.moisture_dry_basis",
        (5.314, 4.120),
        28.98,
        0.005,
        "worked out here from the data of Anantharaman and Begum, Example 6.5",
    ),
    ours(
        "moisture.moisture_dry_basis",
        (4.340, 4.120),
        5.34,
        0.005,
        "worked out here from the data of Anantharaman and Begum, Example 6.5",
    ),
    published(
        "drying_law.falling_rate_time",
        {
            "first": 0.098,
            "last": 0.074,
            "critical": 0.11,
            "equilibrium": 0.0,
            "dry_mass_by_area": 4.12,
            "rate": 0.19,
        },
        0.670,
        0.0005,
        "Anantharaman and Begum, Elements of Mass Transfer 1, Example 6.5 c",
    ),
    published(
        "drying_law.slab_drying_time",
        (0.29, 0.09, 0.04, 2.97e-6, 0.0127),
        30.8,
        0.05,
        f"{G} 9.9-1 (by chart 30.4)",
    ),
    ours(
        "drying_law.slab_moisture_ratio",
        (30.8, 2.97e-6, 0.0127),
        0.2000,
        0.0001,
        "worked out here by finite differences",
    ),
    ours(
        "drying_law.slab_moisture_ratio",
        (0.01, 1.0, 1.0),
        0.887162,
        1e-6,
        "worked out here by the solution for short times, 1 - 2 sqrt(D t / (pi L^2))",
    ),
    published(
        "drying_law.time_for_thickness",
        (25.0 * 0.63 / 0.52, 0.010, 0.060),
        1090.0,
        1.0,
        f"{CR} 16.2, in ks",
    ),
    ours("drying_law.page_moisture_ratio", (1.0, 0.35, 0.85), 0.7047, 5e-5),
    ours("drying_law.page_moisture_ratio", (4.0, 0.35, 0.85), 0.3207, 5e-5),
    ours("drying_law.page_moisture_ratio", (10.0, 0.35, 0.85), 0.0839, 5e-5),
    ours("drying_law.page_time", (0.05, 0.35, 0.85), 12.50, 0.005),
    published(
        "drying_law.front_drying_time",
        {
            "density": 1000.0,
            "film": 30.0,
            "temperature_difference": 44.0,
            "thickness": 0.04,
            "porosity": 0.36,
            "latent": 2300e3,
        },
        7.0,
        0.05,
        "Cussler, Diffusion, Example 21.3-1",
    ),
    ours(
        "drying_law.front_drying_time",
        {
            "density": 1000.0,
            "film": 30.0,
            "temperature_difference": 44.0,
            "thickness": 0.04,
            "porosity": 0.36,
            "latent": 2300e3,
        },
        6.97,
        0.005,
    ),
    published("evaporation.film_along_surface", (22770.0,), 62.45, 0.1, f"{G} 9.6-3"),
    ours("evaporation.film_in_channel", (4.0, 0.05), 5.90 * 4.0**0.71 / 0.05**0.29, 1e-9),
    ours("evaporation.film_in_channel", (1.0, 1.0), 5.90, 1e-9),
    published("evaporation.constant_rate", (62.45, 65.6, 28.9, 2433e3), 3.39, 0.005, f"{G} 9.6-3"),
    published(
        "evaporation.constant_rate",
        (62.45, 65.6, 28.9, 2433e3),
        0.708 / 0.457**2,
        0.0005 / 0.457**2,
        f"{G} 9.6-3: 0.708 kg/h from a pan 0.457 m square",
    ),
    published(
        "evaporation.pool_evaporation",
        {
            "wind": 2.0,
            "length": 12.0,
            "start": 1.5,
            "viscosity": 15.7e-6,
            "diffusivity": 0.26e-4,
            "vapour_density": 0.0226,
            "humidity": 50.0,
        },
        5.64 / 24,
        0.01 / 24,
        "Incropera et al., Fundamentals of Heat and Mass Transfer, "
        "Example 7.3: 406 kg a day from 72 m2",
    ),
    ours(
        "evaporation.pool_evaporation",
        {
            "wind": 2.0,
            "length": 12.0,
            "start": 1.5,
            "viscosity": 15.7e-6,
            "diffusivity": 0.26e-4,
            "vapour_density": 0.0226,
            "humidity": 50.0,
        },
        0.2350763,
        1e-7,
        "worked out here by integrating the local coefficient along the pool",
    ),
    ours(
        "evaporation.pool_evaporation",
        {
            "wind": 2.0,
            "length": 12.0,
            "start": 0.0,
            "viscosity": 15.7e-6,
            "diffusivity": 0.26e-4,
            "vapour_density": 0.0226,
            "humidity": 50.0,
        },
        0.2442303,
        1e-6,
        "worked out here by integrating the local coefficient along the pool",
    ),
    published(
        "evaporation.open_water_by_wind",
        (150.0, 17.04, 70.0),
        0.189,
        0.0005,
        "examination of San Diego State University",
    ),
    published(
        "evaporation.open_water_by_penman",
        (0.189, 550 / 589.0, 1.66),
        0.65,
        0.005,
        "examination of San Diego State University",
    ),
    ours("evaporation.open_water_by_penman", (0.189, 0.9338, 1.66), 0.65380, 0.00001),
    ours("evaporation.open_area", (0.230, 0.110, 0.070), 0.0729, 1e-9),
    published(
        "psychrometrics.latent_heat",
        (25.0,),
        2440e3,
        500.0,
        "Zi Brick and Tile Industry International 10/2012, equation 18",
    ),
    *[
        library("psychrometrics.humidity_ratio", (t, rh), w, 5.1e-7, PSYCHROLIB)
        for t, rh, w, *_ in AIR
    ],
    *[
        library("psychrometrics.wet_bulb", (t, rh), wb, 0.0011, PSYCHROLIB)
        for t, rh, _, wb, *_ in AIR
    ],
    *[
        library("psychrometrics.dew_point", (t, rh), dew, 0.00051, PSYCHROLIB)
        for t, rh, _, _, dew, *_ in AIR
    ],
    *[
        library("psychrometrics.vapour_pressure", (t, rh), pv, 0.051, PSYCHROLIB)
        for t, rh, _, _, _, pv, _ in AIR
    ],
    *[
        library("psychrometrics.drying_force", (t, rh), force, 0.15, PSYCHROLIB)
        for t, rh, *_, force in AIR
    ],
    *[
        library("psychrometrics.saturation_pressure", (t,), p, 0.051, PSYCHROLIB)
        for t, p in (
            (10.0, 1228.0),
            (20.0, 2338.8),
            (25.0, 3169.2),
            (30.0, 4246.0),
            (40.0, 7383.5),
            (60.0, 19943.8),
        )
    ],
    *[
        library("psychrometrics.air_pressure", (z,), p, 0.51, PSYCHROLIB)
        for z, p in ((500.0, 95461.0), (1000.0, 89875.0), (2000.0, 79495.0))
    ],
    # Geankoplis gives vapour pressures and humidity ratios; ours are asked with the relative
    # humidity worked out from them: 100 p_v / p_sat, p_v = W p / (0.621945 + W).
    published(
        "psychrometrics.humidity_ratio", (26.676, 78.857, 101300.0), 0.01742, 0.000005, f"{G} 9.3-1"
    ),
    published(
        "psychrometrics.humidity_ratio", (26.676, 100.0, 101300.0), 0.02226, 0.000005, f"{G} 9.3-1"
    ),
    library(
        "psychrometrics.humidity_ratio", (26.676, 78.857, 101300.0), 0.017420, 5e-7, PSYCHROLIB
    ),
    library(
        "psychrometrics.humidity_ratio", (26.676, 100.0, 101300.0), 0.022258, 5.1e-7, PSYCHROLIB
    ),
    published("psychrometrics.vapour_pressure", (26.676, 78.9), 2760.0, 5.0, f"{G} 9.3-1"),
    published("psychrometrics.wet_bulb", (60.0, 10.794), 29.5, 0.05, f"{G} 9.3-4: W 0.0135"),
    library("psychrometrics.wet_bulb", (60.0, 10.770), 29.5, 0.005, f"{PSYCHROLIB}: W 0.01347"),
    published(
        "psychrometrics.humidity_ratio",
        (60.0, 17.574),
        0.0225,
        0.00025,
        f"{G} 9.3-2: dew point 26.7 degC, read off a chart",
    ),
    library("psychrometrics.humidity_ratio", (60.0, 17.574), 0.02228, 0.000005, PSYCHROLIB),
    library("psychrometrics.dew_point", (60.0, 17.574), 26.7, 0.005, PSYCHROLIB),
    published("psychrometrics.wet_bulb", (65.6, 6.2344), 28.9, 0.05, f"{G} 9.6-3: W 0.010"),
    library("psychrometrics.wet_bulb", (65.6, 6.2344), 28.893, 0.0005, f"{PSYCHROLIB}: W 0.010"),
    library(
        "psychrometrics.wet_bulb",
        (25.0, 50.0),
        17.883,
        0.01,
        "CoolProp 8.0.0, HAPropsSI: another formulation, so to a hundredth",
    ),
    library(
        "psychrometrics.humidity_ratio",
        (25.0, 50.0),
        0.009926,
        6e-5,
        "CoolProp 8.0.0, HAPropsSI: real gas, half a per cent apart",
    ),
]
