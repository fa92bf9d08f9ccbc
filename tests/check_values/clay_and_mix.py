"""Clay, mix, shrinkage, moisture, mass balance."""

from tests.check_values import library, ours, published

VILLAGE = "Beamish and Donovan, Village-Level Brickmaking, appendix on the hinge mould"
FLORIDA = "Florida State Geological Survey, Fifteenth Annual Report, 1924"
NPTEL = "NPTEL, Geotechnical engineering, module 3, worked example"
HITTLE = "T. Hittle's derivation, quoted on a ceramics reference page"
NOTE = "web note on shrinkage; four answers printed, lengths inferred"
CHEMICALS = "molar masses of the library chemicals 1.5.2"

ROWS = [
    # --- shrinkage -----------------------------------------------------------------------------
    published("shrinkage.total_shrinkage", (258.0, 240.0), 6.98, 0.005, VILLAGE),
    published("shrinkage.total_shrinkage", (100.0, 88.0), 12.0, 0.005, "clay-shrinkage example"),
    published("shrinkage.drying_shrinkage", (100.0, 94.0), 6.00, 0.005, NOTE),
    published("shrinkage.firing_shrinkage", (94.0, 88.0), 6.38, 0.005, NOTE),
    published("shrinkage.combined_shrinkage", (6.25, 6.66), 12.494, 0.0006, HITTLE),
    published(
        "shrinkage.drying_shrinkage",
        (100.0, 93.0),
        7.0,
        0.5,
        "Practical Action Sudan, timberless house model, p. 9",
    ),
    published(
        "shrinkage.drying_shrinkage",
        (300.0, 279.0),
        7.0,
        1e-9,
        "FAO, Farm structures in tropical climates, chapter 3: 21 mm on a bar of 300 at its limit "
        "of 7 %; the same page also says less than 20 mm",
    ),
    ours("shrinkage.drying_shrinkage", (300.0, 280.0), 6.67, 0.005),
    ours("shrinkage.drying_shrinkage", (140.0, 128.8), 8.0, 1e-9),
    ours("shrinkage.drying_shrinkage", (250.0, 235.0), 6.00, 0.005),
    ours("shrinkage.firing_shrinkage", (235.0, 223.0), 5.11, 0.005),
    ours("shrinkage.total_shrinkage", (250.0, 223.0), 10.80, 0.005),
    ours("shrinkage.combined_shrinkage", (7.0, 3.0), 9.79, 0.005),
    ours("shrinkage.firing_part_of", (12.0, 6.0), 6.3830, 0.0001),
    ours("shrinkage.volume_shrinkage", (8.0,), 22.1312, 0.0001),
    published(
        "shrinkage.volume_shrinkage",
        (6.4,),
        17.9,
        0.15,
        f"{FLORIDA}, p. 161; measured on its own, so to a point",
    ),
    ours("shrinkage.linear_from_volume", (22.1312,), 8.0, 0.0001),
    ours("shrinkage.linear_from_dry_volume", (25.9712,), 8.0, 0.0001),
    ours("shrinkage.on_wet_length", (25.0,), 20.0, 1e-9),
    ours("shrinkage.on_dry_length", (20.0,), 25.0, 1e-9),
    ours("shrinkage.curled_bar_length", (128.0, 130.0), 129.0, 1e-9),
    ours("shrinkage.shrinkage_by_water_lost", (22.0, 12.0), 5.924, 0.001),
    ours("shrinkage.shrinkage_by_water_lost", (25.0, 12.0), 7.448, 0.001),
    ours("shrinkage.shrinkage_by_water_lost", (30.0, 14.0), 8.59, 0.01),
    # --- moisture and ignition -------------------------------------------------------------------
    published(
        "moisture.moisture_dry_basis", (320.0, 310.0, 260.0), 20.0, 0.05, "soil mechanics exercise"
    ),
    published(
        "moisture.moisture_dry_basis",
        (53.12, 43.27, 4.21),
        25.217,
        0.001,
        "soil laboratory report, which cuts the last digit",
    ),
    published(
        "moisture.moisture_dry_basis",
        (43.52, 39.86, 17.31),
        16.2,
        0.05,
        "geotechnical laboratory sheet, can 1",
    ),
    published(
        "moisture.moisture_dry_basis",
        (52.19, 47.61, 18.92),
        16.0,
        0.05,
        "geotechnical laboratory sheet, can 2",
    ),
    published(
        "moisture.moisture_dry_basis",
        (39.43, 36.13, 16.07),
        16.5,
        0.05,
        "geotechnical laboratory sheet, can 3",
    ),
    published(
        "statistics.mean", ([16.23, 15.96, 16.45],), 16.2, 0.05, "geotechnical laboratory sheet"
    ),
    ours("moisture.moisture_wet_basis", (53.12, 43.27, 4.21), 20.14, 0.005),
    published("moisture.dry_basis_from_wet", (20.0,), 25.0, 1e-9, "BC moisture note"),
    ours("moisture.wet_basis_from_dry", (25.0,), 20.0, 1e-9),
    published(
        "moisture.loss_on_ignition",
        (27.3500, 26.9800, 24.8500),
        14.800,
        0.0005,
        "clay row of a worked table",
    ),
    ours("moisture.loss_on_dry_mass", (8.0, 20.0), 10.0, 1e-9),
    ours("moisture.water_of_plasticity", (420.0, 336.0), 25.0, 1e-9),
    ours("moisture.shrinkage_water", (220.0, 180.0, 336.0), 11.905, 0.001),
    ours("moisture.pore_water", (25.0, 11.9), 13.1, 1e-9),
    published("moisture.pore_water", (21.4, 21.3), 0.1, 1e-9, f"{FLORIDA}, p. 161"),
    published("moisture.pore_water", (24.75, 24.48), 0.27, 1e-9, f"{FLORIDA}, p. 161"),
    # --- mass balance ----------------------------------------------------------------------------
    ours("mass_balance.expected_fired_mass", (4000.0, 25.0, 8.0), 2944.0, 1e-9),
    ours("mass_balance.expected_loss", (30.0, 8.0), 29.23, 0.005),
    ours("mass_balance.expected_loss", (20.0, 4.0), 20.0, 0.05),
    ours("mass_balance.expected_loss", (40.0, 15.0), 39.3, 0.05),
    ours("mass_balance.total_loss", (4.2, 1.4), 66.667, 0.001),
    library("mass_balance.loss_of_mineral", ("kaolinite",), 13.957, 0.002, CHEMICALS),
    library("mass_balance.loss_of_mineral", ("calcite",), 43.971, 0.002, CHEMICALS),
    library("mass_balance.loss_of_mineral", ("dolomite",), 47.732, 0.002, CHEMICALS),
    library("mass_balance.loss_of_mineral", ("muscovite",), 4.52, 0.005, CHEMICALS),
    library("mass_balance.loss_of_mineral", ("goethite",), 10.14, 0.005, CHEMICALS),
    library("mass_balance.loss_of_mineral", ("gypsum",), 20.93, 0.005, CHEMICALS),
    ours(
        "mass_balance.loss_of_minerals",
        ({"kaolinite": 25, "muscovite": 20, "calcite": 3}, 0.5),
        6.212,
        0.001,
    ),
    ours("mass_balance.loss_bounds", (25.0, 8.0), (25.203, 27.559), 0.001),
    # --- dry mass --------------------------------------------------------------------------------
    ours("dry_mass.dry_mass_by_piece", (3.25, 936.0, 745.0), 2.58681, 1e-5),
    ours("dry_mass.dry_mass_from_fired", (2.944, 8.0), 3.2, 1e-9),
    ours("dry_mass.dry_mass_from_plateau", (2.65, 2.0), 2.598039, 1e-6),
    ours("dry_mass.plateau", ([0, 24, 48, 72], [3.25, 2.80, 2.652, 2.650]), 2.650, 1e-9),
    # --- field tests of clay ---------------------------------------------------------------------
    published(
        "clay.jar_fractions",
        (10.0, 10.0, 20.0),
        (25.0, 25.0, 50.0),
        1e-9,
        "jar of four equal layers, the organic one counted with the clay; informal source",
    ),
    published(
        "clay.settling_speed",
        (5e-5, 2670.0, 1000.0, 1e-3, 9.81),
        0.2275e-2,
        0.0001e-2,
        "Stokes exercise of an examination",
    ),
    ours(
        "clay.coarsest_still_floating",
        (27830.0, 0.10, 2650.0, 998.0, 1.002e-3),
        2.0e-6,
        0.001e-6,
        "worked out here: 10 cm in 7.7 h leaves 2 micrometres",
    ),
    ours("clay.coarsest_still_floating", (7200.0, 0.10), 3.935e-6, 0.005e-6),
    published("plasticity.plasticity_index", (48.0, 26.0), 22.0, 1e-9, NPTEL),
    published("plasticity.liquidity_index", (39.0, 48.0, 26.0), 0.59, 0.005, NPTEL),
    published("plasticity.activity", (22.0, 55.0), 0.40, 0.0005, NPTEL),
    published(
        "plasticity.liquid_limit_from",
        (28.0, 44.0, 0.55),
        57.1,
        0.05,
        "exercise with its answer; informal source",
    ),
    ours(
        "plasticity.plasticity_index",
        (200.0, 45.0),
        155.0,
        1e-9,
        "worked out here from a public exercise",
    ),
    ours(
        "plasticity.consistency_index",
        (60.0, 200.0, 45.0),
        0.903,
        0.001,
        "worked out here from a public exercise",
    ),
    ours(
        "plasticity.liquidity_index",
        (60.0, 200.0, 45.0),
        0.097,
        0.001,
        "worked out here from a public exercise",
    ),
    # --- mix -------------------------------------------------------------------------------------
    published("mix.mould_size", (250.0, 12.0), 284.09, 0.005, "clay-shrinkage example"),
    published(
        "mix.mould_size",
        (9.00 * 25.4, 10.0),
        254.0,
        0.15,
        "Rivington, Notes on Building Construction 3: a mould of 10 in that shrinks by a tenth",
    ),
    published(
        "mix.mould_size",
        (9.17 * 25.4, 100 / 12),
        254.0,
        0.15,
        "Rivington, Notes on Building Construction 3: a mould of 10 in that shrinks by a twelfth",
    ),
    published("mix.oversize_factor", (12.0,), 1.136, 0.0005, NOTE),
    ours(
        "mix.mould_size", (240.0, 7.0), 258.06, 0.01, "worked out here; inverse of the handbook's"
    ),
    ours("mix.mould_size", (230.0, 10.8), 257.85, 0.01),
    ours("mix.mould_size", (110.0, 10.8), 123.32, 0.01),
    ours("mix.mould_size", (70.0, 10.8), 78.48, 0.01),
    ours("mix.temper_for_clay", (45.0, 30.0), 50.0, 1e-9),
    ours("mix.temper_for_clay", (45.0, 30.0, 10.0), 75.0, 1e-9),
    ours("mix.temper_for_shrinkage", (9.0, 6.0), 50.0, 1e-9),
    ours("mix.dry_mass_of_volume", (0.1, 1500.0, 25.0), 120.0, 1e-9),
    ours("mix.dry_mass_of_moist", (125.0, 25.0), 100.0, 1e-9),
    ours("mix.water_to_add", (100.0, 8.0, 25.0), 17.0, 1e-9),
    ours("mix.dry_parts", ([90.0, 30.0],), [0.75, 0.25], 1e-12),
    ours("mix.blended", ([0.75, 0.25], [40.0, 0.0]), 30.0, 1e-12),
]
