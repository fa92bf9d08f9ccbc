"""Absorption, density, strength, sizes, small samples."""

from tests.check_values import CheckValue, ours, published

KROGSTAD = "N. Krogstad, Meeting the grade, Masonry Construction, January 2003"
ASKELAND = "Askeland, The Science and Engineering of Materials, Example 15.8"
THAPA = "R. Thapa, brick practical, 2024"
NIST = "NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3"
CMH = "CMH-17-1G, one-sided B-basis factors"
RILEY = "Riley, Hobson and Bence, table 31.3"
ENVIRONMENTAL = "Statistics for Environmental Engineers, table 21.1"
EUROCODE = "worked out here; EN 1990 Annex D prints 3.37, 2.33, 1.92, from memory"
GB = "answers to an examination on GB 5101"
GB_MU15 = [18.41, 19.57, 15.80, 13.26, 17.25, 18.77, 10.94, 20.29, 15.94, 18.41]
GB_BOOK = "textbook on GB 5101, Example 6-4"
GB_MU10 = [14.2, 21.1, 9.5, 22.9, 13.3, 18.8, 18.2, 18.2, 19.8, 19.8]
SIZES = "guidance sheet on EN 771-1 for the United Kingdom"


def _factors(
    share: float, confidence: float, row: dict[int, float], mark, source
) -> list[CheckValue]:
    return [
        mark("statistics.k1", (n, share, confidence), k, 0.00051, source) for n, k in row.items()
    ]


ROWS = [
    # --- absorption ------------------------------------------------------------------------------
    published("absorption.cold_from_boiling", (11.0, 0.83), 9.1, 0.05, KROGSTAD),
    ours("absorption.cold_from_boiling", (11.0, 0.83), 9.13, 0.0051),
    published(
        "absorption.water_absorption",
        (2.85, 3.10),
        8.77,
        0.005,
        "construction training page; dry mass worked back from its answer",
    ),
    published("absorption.water_absorption", (200.0, 240.0), 20.0, 0.05, THAPA),
    published("absorption.water_absorption", (210.0, 252.0), 20.0, 0.05, THAPA),
    published("absorption.water_absorption", (190.0, 228.0), 20.0, 0.05, THAPA),
    ours("absorption.water_absorption", (2000.0, 2230.0), 11.5, 1e-9),
    ours("absorption.water_absorption", (2000.0, 2300.0), 15.0, 1e-9),
    ours("absorption.water_absorption", (2500.0, 2900.0), 16.0, 1e-9),
    ours("absorption.water_absorption", (100.0, 120.0), 20.0, 1e-9),
    ours("absorption.water_absorption", (2450.0, 2830.0), 15.510, 0.0005),
    ours("absorption.saturation_coefficient", (2000.0, 2230.0, 2300.0), 0.7667, 0.0001),
    ours("absorption.initial_rate_of_absorption", (22.0, 8.0, 3.5), 23.571, 0.001),
    ours("absorption.initial_rate_of_absorption", (18.0, 7.0, 4.0, 6.0), 24.545, 0.001),
    published(
        "absorption.initial_rate_of_absorption",
        (0.025 * 28.3495, 1.0, 1.0),
        21.3,
        0.05,
        "building pathology note on a code of 1969, which says about 20",
    ),
    ours("absorption.initial_suction", (0.036, 0.215 * 0.1025), 1.634, 0.0005),
    ours("absorption.suction_by_area", (30.0,), 1.550, 0.0005),
    ours("absorption.suction_by_area", (5.0,), 0.258, 0.0005),
    ours("absorption.suction_by_area", (20.0,), 1.033, 0.0005),
    ours("absorption.suction_by_area", (23.571,), 1.218, 0.0005),
    ours("absorption.suction_by_30_square_inches", (1.0,), 19.355, 0.0005),
    # --- density and pores -----------------------------------------------------------------------
    published("porosity.apparent_porosity", (360.0, 385.0, 224.0), 15.5, 0.05, ASKELAND),
    published("porosity.bulk_density", (360.0, 385.0, 224.0), 2.24, 0.005, ASKELAND),
    published("porosity.true_porosity", (2.24, 3.2), 30.0, 0.05, ASKELAND),
    published("porosity.closed_fraction", (30.0, 15.5), 0.48, 0.005, ASKELAND),
    ours("porosity.apparent_specific_gravity", (360.0, 385.0, 224.0), 2.647, 0.0005),
    ours("absorption.water_absorption", (360.0, 385.0), 6.944, 0.0005),
    ours("porosity.porosity_from_absorption", (6.9444, 2.23602), 15.528, 0.001),
    published(
        "porosity.apparent_porosity", (100.0, 120.0, 70.0), 40.0, 0.05, "ceramic porosity example"
    ),
    ours("porosity.bulk_density", (100.0, 120.0, 70.0), 2.0, 1e-9),
    ours("porosity.apparent_specific_gravity", (100.0, 120.0, 70.0), 3.333, 0.0005),
    ours("porosity.exterior_volume", (2830.0, 1495.0), 1335.0, 1e-9),
    ours("porosity.apparent_porosity", (2450.0, 2830.0, 1495.0), 28.464, 0.001),
    ours("porosity.bulk_density", (2450.0, 2830.0, 1495.0), 1.8352, 0.0001),
    ours("porosity.apparent_specific_gravity", (2450.0, 2830.0, 1495.0), 2.5654, 0.0001),
    ours("porosity.solid_density", (1.64, 36.7), 2.591, 0.001),
    ours("porosity.density_by_size", (1080.0, 18.4, 9.2, 4.25), 1.5012, 0.0001),
    published("porosity.density_by_size", (200.0, 18.0, 10.0, 1.0), 1.11, 0.005, THAPA),
    published("porosity.density_by_size", (210.0, 19.0, 10.0, 1.0), 1.11, 0.0051, THAPA),
    published("porosity.density_by_size", (190.0, 17.0, 10.0, 1.0), 1.12, 0.005, THAPA),
    # --- strength --------------------------------------------------------------------------------
    published(
        "strength.modulus_of_rupture",
        (1620 * 4.4482216, 6 * 25.4, 4 * 25.4, 2.25 * 25.4),
        720 * 0.00689476,
        0.5 * 0.00689476,
        "Construction Superintendence, section 232",
    ),
    published(
        "strength.modulus_of_rupture",
        (300.0, 44.0, 11.0, 5.3),
        64.08,
        0.005,
        "Callister, three-point problem, solved copy",
    ),
    ours(
        "strength.modulus_of_rupture",
        (1500 * 4.4482216, 7 * 25.4, 3.625 * 25.4, 2.25 * 25.4, 0.5 * 25.4),
        735.6 * 0.00689476,
        0.1 * 0.00689476,
    ),
    ours(
        "strength.modulus_of_rupture",
        (1500 * 4.4482216, 7 * 25.4, 3.625 * 25.4, 2.25 * 25.4),
        858.2 * 0.00689476,
        0.1 * 0.00689476,
    ),
    ours("strength.modulus_of_rupture", (2765.475, 180.0, 105.0, 65.0), 1.683, 0.0005),
    ours("strength.modulus_of_rupture", (735.5, 200.0, 100.0, 60.0), 0.613, 0.0005),
    ours("strength.lever_force", (25.0, 1.50, 0.15, 6.0, 0.80), 2765.48, 0.01),
    ours("strength.weight", (75.0,), 735.5, 0.05),
    published(
        "strength.compressive_strength",
        (350e3, 230.0 * 115.0),
        13.23,
        0.005,
        "sample report on IS 3495-1",
    ),
    published(
        "strength.compressive_strength",
        (69100 * 4.4482216, 3.625 * 7.625 * 645.16),
        2500 * 0.00689476,
        0.5 * 0.00689476,
        "Foster and Walker, Masonry Magazine, 2022 (area assumed)",
    ),
    published(
        "strength.compressive_strength",
        (5000.0, 200.0 * 100.0),
        0.25,
        0.0005,
        "worked example; its 0.255 is printed 0.26",
    ),
    ours("strength.net_area_strength", (12.0, 20000.0, 16000.0), 15.0, 1e-9),
    ours("strength.abrasion_index", (6.0, 8500.0), 0.07059, 0.00001),
    ours("strength.abrasion_index", (8.0, 8000.0), 0.100, 1e-9),
    ours("strength.abrasion_index", (14.0, 3000.0), 0.4667, 0.0001),
    # --- sizes -----------------------------------------------------------------------------------
    *[
        published("brick_size.size_tolerance", {"size": size, "category": name}, mm, 0.006, SIZES)
        for size, name, mm in (
            (215.0, "T1", 5.87),
            (215.0, "T2", 3.67),
            (102.0, "T1", 4.04),
            (102.0, "T2", 2.52),
            (65.0, "T1", 3.22),
            (65.0, "T2", 2.02),
        )
    ],
    ours("brick_size.warpage", (1.5, [0.5, 2.0, 0.0, 1.0]), 2.0, 1e-9),
    # --- small samples ---------------------------------------------------------------------------
    published("statistics.mean", ([2311, 2626, 1512, 1410, 1308],), 1833.0, 0.5, "C279 test sheet"),
    published(
        "statistics.mean",
        ([psi * 0.00689476 for psi in (2311, 2626, 1512, 1410, 1308)],),
        12.6,
        0.05,
        "C279 test sheet, in MPa",
    ),
    published(
        "statistics.mean",
        ([13.23, 14.37, 15.12],),
        14.24,
        0.005,
        "sample report on IS 3495-1",
    ),
    published("statistics.mean", (GB_MU15,), 16.9, 0.05, GB),
    published("statistics.standard_deviation", (GB_MU15,), 2.94, 0.005, GB),
    published("statistics.mean", (GB_MU10,), 17.6, 0.05, GB_BOOK),
    published("statistics.standard_deviation", (GB_MU10,), 4.05, 0.005, GB_BOOK),
    published("statistics.variation", (GB_MU10,), 0.23, 0.005, GB_BOOK),
    ours("statistics.standard_deviation", ([2311, 2626, 1512, 1410, 1308],), 594.8, 0.05),
    published(
        "statistics.standard_deviation", ([1, 2, 3, 4, 5],), 1.5811, 0.00005, "public test example"
    ),
    published(
        "statistics.interval_of_mean",
        ([1, 2, 3, 4, 5],),
        (1.0368, 4.9632),
        0.0005,
        "public test example, which rounds t to 2.776",
    ),
    published(
        "statistics.variation",
        (GB_MU15,),
        0.17,
        0.005,
        GB,
    ),
    ours("statistics.lower_limit", ([3400, 3150, 2980, 3600, 2700],), 1967.0, 0.5),
    ours("statistics.lower_limit", ([3400, 3150, 2980, 3600, 2700], 0.95, 0.95), 1687.0, 0.5),
    ours("statistics.interval_of_mean", ([3400, 3150, 2980, 3600, 2700],), (2729.0, 3603.0), 0.5),
    ours("statistics.upper_limit", ([1, 2, 3, 4, 5],), 8.387, 0.001),
    *[
        published("quantiles.student_t", (p, 4), t, 0.0051, RILEY)
        for p, t in ((0.95, 2.13), (0.975, 2.78), (0.99, 3.75), (0.995, 4.60))
    ],
    published(
        "quantiles.student_t",
        (0.975, 194),
        1.9723,
        0.00005,
        "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2",
    ),
    *_factors(
        0.90,
        0.95,
        {
            3: 6.155,
            4: 4.162,
            5: 3.407,
            6: 3.006,
            7: 2.755,
            8: 2.582,
            9: 2.454,
            10: 2.355,
            12: 2.210,
            15: 2.068,
        },
        published,
        CMH,
    ),
    *_factors(0.95, 0.95, {3: 7.656, 5: 4.203, 10: 2.911}, ours, "worked out here"),
    *_factors(0.95, 0.75, {3: 3.152, 5: 2.463, 10: 2.104}, ours, "worked out here"),
    published("statistics.k1", (6, 0.90, 0.99), 4.4111, 0.00005, NIST),
    published("statistics.k1", (43, 0.90, 0.99), 1.8740, 0.00005, NIST),
    published(
        "statistics.k1",
        (43, 0.90, 0.99),
        12.28834 / 43**0.5,
        0.000005 / 43**0.5,
        f"{NIST}: the noncentral t of 12.28834, over the root of 43",
    ),
    published(
        "quantiles.normal_quantile",
        (0.90,),
        8.4037 / 43**0.5,
        0.00005 / 43**0.5,
        f"{NIST}: its noncentrality of 8.4037, over the root of 43",
    ),
    published(
        "quantiles.student_t",
        (0.975, 4),
        1.24 * 5**0.5,
        0.005 * 5**0.5,
        f"{ENVIRONMENTAL}: 1.24 standard deviations to each side of a mean of five",
    ),
    published("statistics.k1_natrella", (43, 0.90, 0.99), 1.8752, 0.00005, NIST),
    published("statistics.k2_howe", (43, 0.90, 0.99), 2.217, 0.0005, NIST),
    published("statistics.k2_howe", (5, 0.95, 0.95), 5.09, 0.02, ENVIRONMENTAL),
    published("statistics.k2", (5, 0.90, 0.95), 4.29, 0.015, ENVIRONMENTAL),
    published("statistics.k2", (5, 0.95, 0.95), 5.08, 0.005, ENVIRONMENTAL),
    published("statistics.k2", (5, 0.99, 0.95), 6.60, 0.01, ENVIRONMENTAL),
    ours("statistics.en1990_kn", (3,), 3.372, 0.001, EUROCODE),
    ours("statistics.en1990_kn", (5,), 2.335, 0.001, EUROCODE),
    ours("statistics.en1990_kn", (10,), 1.923, 0.001, EUROCODE),
    ours("quantiles.normal_quantile", (0.90,), 1.281552, 0.000001),
    ours("quantiles.chi_square_quantile", (0.01, 42), 23.6501, 0.0001),
]
