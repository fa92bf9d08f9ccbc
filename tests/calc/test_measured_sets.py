"""What follows from sets that others measured, worked out by script beside each set.

Each figure was worked out apart from this program from the printed table; half its last digit is
the tolerance. A blank of a set is not known and never zero.
"""

import math
from itertools import pairwise

import pytest

from fieldbook.calc import absorption, mix, moisture, porosity, shrinkage, statistics
from fieldbook.quantities import convert, read_amount
from tests.data import measured

column, rows = measured.column, measured.rows


def summary(values):
    """Mean, scatter and half the 95 % interval of the mean."""
    interval = statistics.interval_of_mean(values)
    half = (interval.high - interval.low) / 2
    return statistics.mean(values), statistics.standard_deviation(values), half


WEIGHTS = "drying_loom_weights_12"
PAIRS = [
    (row["piece"], float(row["wet_g"]), float(row["day1_g"]))
    for row in rows(WEIGHTS)
    if row["day1_g"]
]
LOSSES = {piece: wet - day for piece, wet, day in PAIRS}


@pytest.mark.parametrize(
    ("values", "expected", "within"),
    [
        ([wet for _, wet, _ in PAIRS], (244.00, 11.93, 7.58), 0.0051),
        ([day for *_, day in PAIRS], (226.58, 13.23, 8.40), 0.0051),
        (list(LOSSES.values()), (17.42, 5.81, 3.69), 0.0051),
        ([100 * (w - d) / w for _, w, d in PAIRS], (7.15, 2.43, 1.55), 0.0051),
        (column("bricks_absorption_watertown_29_54", "absorption_24h_pct"),
         (8.76, 1.89, 0.78), 0.0051),
        (column("bricks_absorption_watertown_55_83", "absorption_24h_pct"),
         (8.33, 4.09, 1.56), 0.0051),
        (column("bricks_absorption_watertown_55_83", "absorption_24h_pct", kind="vitrified sewer"),
         (1.16, 0.68, 0.71), 0.0051),
        (column("bricks_absorption_watertown_55_83", "absorption_24h_pct", kind="common or sewer"),
         (10.05, 1.87, 0.85), 0.0051),
    ],
)  # fmt: skip
def test_mean_scatter_and_interval_of_a_set(values, expected, within):
    assert summary(values) == pytest.approx(expected, abs=within)


def test_loom_weights_are_as_dry_as_the_wettest():
    # 215 g nominal dry: 13.5 and 5.4 % dry basis in the mean, E2 at 15.8 %; J1 below its dry mass
    dry = 215.0
    now = {piece: 100 * (day - dry) / dry for piece, _, day in PAIRS}
    wet = [100 * (mass - dry) / dry for _, mass, _ in PAIRS]
    assert statistics.mean(wet) == pytest.approx(13.5, abs=0.05)
    assert statistics.mean(list(now.values())) == pytest.approx(5.4, abs=0.05)
    assert now["E2"] == pytest.approx(15.8, abs=0.05)
    assert max(now, key=now.__getitem__) == "E2"
    assert [piece for piece, water in now.items() if water < 0] == ["J1"]
    rest = [loss for piece, loss in LOSSES.items() if piece != "J1"]
    assert statistics.mean(rest) == pytest.approx(16.27, abs=0.005)
    assert statistics.standard_deviation(rest) == pytest.approx(4.45, abs=0.005)


def test_a_tray_of_sand_gives_bounds_of_its_moisture_only():
    minutes = column("drying_tray_sand", "minute")
    masses = column("drying_tray_sand", "mass_g")
    rates = [
        (a - b) / (t2 - t1)
        for a, b, t1, t2 in zip(masses, masses[1:], minutes, minutes[1:], strict=False)
    ]
    printed = [4.91, 4.97, 4.88, 3.61, 3.42, 2.98, 2.80, 1.57, 1.29]
    assert rates == pytest.approx(printed, abs=0.0051)
    assert statistics.mean(rates[:3]) == pytest.approx(4.92, abs=0.005)
    lost = masses[0] - masses[-1]
    assert lost == pytest.approx(304.22, abs=0.005)
    assert masses[0] - masses[3] == pytest.approx(147.59, abs=0.005)
    on_wet = moisture.moisture_wet_basis.plain(masses[0], masses[-1])
    assert on_wet == pytest.approx(30.1, abs=0.05)
    least = moisture.dry_basis_from_wet.plain(on_wet)
    assert least == pytest.approx(43.2, abs=0.05)
    assert 100 * rates[-1] * 60 / masses[-1] == pytest.approx(10.9, abs=0.1)


def test_a_pot_without_a_second_weighing_gets_no_loss():
    pots = rows("pots_before_after_firing_group_c")
    losses = [
        100 * (1 - float(row["after_g"]) / float(row["before_g"])) if row["after_g"] else None
        for row in pots
    ]
    assert losses[3] is None
    assert losses[:3] == pytest.approx([5.56, 5.51, 11.86], abs=0.005)


@pytest.mark.parametrize(
    ("clay", "water", "volume", "wet_length", "strength"),
    [
        ("state-hospital", 21.40, 18.0, 106.84, 0.583),
        ("key-plantation", 24.75, 16.1, 106.04, 0.638),
        ("springside", None, 29.7, 112.49, 5.457),
        ("lyle", None, 31.4, 113.37, None),
    ],
)
def test_green_clays_of_florida(clay, water, volume, wet_length, strength):
    (row,) = [row for row in rows("florida_1924_green") if row["clay"] == clay]
    linear = float(row["linear_air_shrinkage_pct"])
    assert shrinkage.volume_shrinkage.plain(linear) == pytest.approx(volume, abs=0.05)
    assert mix.mould_size.plain(100.0, linear) == pytest.approx(wet_length, abs=0.006)
    if water is not None:
        parts = float(row["pore_water_pct"]) + float(row["shrinkage_water_pct"])
        assert parts == pytest.approx(water, abs=0.005)
        assert parts == pytest.approx(float(row["water_of_plasticity_pct"]), abs=0.011)
    if strength is not None:
        psi = float(row["dry_mor_psi"])
        assert convert(psi, "psi", "MPa") == pytest.approx(strength, abs=0.0005)


@pytest.mark.parametrize(
    ("clay", "limit", "first"),
    [
        ("state-hospital", 20, 1050), ("state-hospital", 15, None), ("key-plantation", 20, 1190),
        ("key-plantation", 15, None), ("levy", 20, 950), ("levy", 15, 1150), ("levy", 8, None),
        ("springside", 20, 950), ("springside", 15, 950), ("springside", 8, None),
    ],
)  # fmt: skip
def test_first_fire_at_which_a_florida_clay_takes_so_little_water(clay, limit, first):
    found = [
        float(row["temp_C"])
        for row in rows("florida_1924_fired")
        if row["clay"] == clay and row["absorption_pct"] and float(row["absorption_pct"]) <= limit
    ]
    assert (min(found) if found else None) == first


def test_fourteen_of_nineteen_florida_rows_hold_a_solid_too_dense_for_clay():
    both = [r for r in rows("florida_1924_fired") if r["absorption_pct"] and r["porosity_pct"]]
    dense = []
    for row in both:
        pores, water = float(row["porosity_pct"]), float(row["absorption_pct"])
        dense.append(porosity.solid_density.plain(pores / water, pores))
    assert len(dense) == 19
    assert sum(one > 2.9 for one in dense) == 14
    assert dense[0] == pytest.approx(2.59, abs=0.005)
    assert max(dense) == pytest.approx(3.70, abs=0.005)


@pytest.mark.parametrize(
    ("clay", "cone", "total", "mould"),
    [
        ("st-cloud", "05", 7.93, 108.61), ("st-cloud", "3", 12.58, 114.39),
        ("moorhead", "04", 5.00, 105.26), ("moorhead", "2", 5.95, 106.33),
        ("moorhead", "4", 7.85, 108.52), ("moorhead", "5", 11.65, 113.19),
        ("verna", "03", 3.97, 104.13), ("verna", "01", 6.88, 107.39),
        ("verna", "2", 14.64, 117.15), ("shakopee", "02", 4.00, 104.17),
        ("shakopee", "3", 8.80, 109.65),
    ],
)  # fmt: skip
def test_total_shrinkage_and_mould_of_minnesota_clays(clay, cone, total, mould):
    (row,) = [r for r in rows("minnesota_1919") if (r["clay"], r["cone"]) == (clay, cone)]
    found = shrinkage.combined_shrinkage.plain(
        float(row["drying_shrinkage_pct"]), float(row["fire_shrinkage_pct"])
    )
    assert found == pytest.approx(total, abs=0.0051)
    assert mix.mould_size.plain(100.0, found) == pytest.approx(mould, abs=0.0051)


def test_a_difference_of_temperature_has_no_32_in_it():
    # St Cloud 1994 to 2210 F: 216 F, 120 K; Verna 2030 to 2174 F: 144 F, 80 K
    for degrees, kelvin in ((216.0, 120.0), (144.0, 80.0)):
        assert read_amount(f"{degrees:.0f} F", "difference").value == pytest.approx(kelvin)


def test_ezzodo_clay_agrees_with_itself_to_a_twentieth():
    values = {row["property"]: row for row in rows("firing_temperature_effect_ezzodo")}
    names = {key.casefold(): row for key, row in values.items()}

    def at(word, kelvin):
        (row,) = [row for name, row in names.items() if word in name]
        return float(row[f"at_{kelvin}C"])

    for fired, pores, bulk in ((900, 36.49, 1.638), (1200, 29.17, 1.759)):
        found = porosity.porosity_from_absorption.plain(at("absorption", fired), at("bulk", fired))
        assert found == pytest.approx(pores, abs=0.006)
        solid = at("apparent density", fired) * (1 - at("porosity", fired) / 100)
        assert solid == pytest.approx(bulk, abs=0.0011)
    for fired, drying, mould in ((900, 3.80, 105.33), (1200, 3.97, 110.45)):
        total, firing = at("total", fired), at("fir", fired)
        assert 100 * (1 - (1 - total / 100) / (1 - firing / 100)) == pytest.approx(
            drying, abs=0.0051
        )
        assert mix.mould_size.plain(100.0, total) == pytest.approx(mould, abs=0.0051)


def test_ash_costs_two_thirds_of_the_strength():
    without, with_ash = rows("mix_rice_husk_ash_endpoints")
    strong, weak = (float(row["strength_MPa"]) for row in (without, with_ash))
    dry, wet = (float(row["absorption_pct"]) for row in (without, with_ash))
    assert 100 * (weak / strong - 1) == pytest.approx(-67.4, abs=0.05)
    assert wet - dry == pytest.approx(5.1, abs=0.05)
    assert 100 * (wet / dry - 1) == pytest.approx(22.1, abs=0.05)
    kgf = [strength / 0.0980665 for strength in (strong, weak)]
    assert kgf == pytest.approx([32.3, 10.5], abs=0.05)


def test_ranges_of_additives_lie_apart_or_overlap():
    ends = {
        row["additive"]: tuple(
            float(row[f"strength_{end}_kgcm2"]) * 0.0980665 for end in ("low", "high")
        )
        for row in rows("additive_strength_ranges_sudan")
    }
    dung, shells, sawdust = (
        next(v for k, v in ends.items() if word in k) for word in ("dung", "nut", "sawdust")
    )
    assert dung == pytest.approx((16.7, 17.7), abs=0.05)
    assert shells == pytest.approx((11.8, 13.2), abs=0.05)
    assert sawdust == pytest.approx((10.8, 12.3), abs=0.05)
    assert dung[0] > shells[1] and shells[0] < sawdust[1]


def test_three_bricks_of_a_web_page():
    found = [
        absorption.water_absorption.plain(float(row["dry_kg"]), float(row["saturated_kg"]))
        for row in rows("bricks_absorption_3_kg")
    ]
    assert found == pytest.approx([4.45, 1.43, 2.69], abs=0.0051)
    assert summary(found) == pytest.approx((2.86, 1.52, 3.78), abs=0.0051)
    assert statistics.variation(found) == pytest.approx(0.533, abs=0.0005)


def test_three_bricks_of_indonesia_by_their_sides():
    sizes = [
        [float(row[key]) for key in ("mass_g", "length_cm", "width_cm", "thickness_cm")]
        for row in rows("bricks_density_3")
    ]
    found = [mass / (a * b * c) for mass, a, b, c in sizes]
    assert found == pytest.approx([1.501, 1.522, 1.364], abs=0.0005)
    mean, sd, half = summary(found)
    assert (mean, sd, half) == pytest.approx((1.462, 0.086, 0.21), abs=0.005)
    mass, *sides = [statistics.mean(list(each)) for each in zip(*sizes, strict=True)]
    assert mass / math.prod(sides) == pytest.approx(1.460, abs=0.0005)


def test_two_populations_are_no_one_mean():
    found = sorted(column("bricks_absorption_watertown_55_83", "absorption_24h_pct"))
    gaps = [after - before for before, after in pairwise(found)]
    widest = gaps.index(max(gaps))
    assert (found[widest], found[widest + 1]) == (2.4, 6.5)
    assert sum(value < 4.5 for value in found) == 6
