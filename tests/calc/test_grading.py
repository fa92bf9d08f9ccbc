"""Grades: published answers, editions apart, nothing decided that is not sure."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc.grading import Sample, find_standard, grade, standards
from fieldbook.calc.uncertainty import rectangular
from fieldbook.errors import NotPossible
from fieldbook.quantities import convert
from fieldbook.tables import load, names
from tests.data import measured


def bricks(*values):
    return {str(i + 1): value for i, value in enumerate(values)}


def psi(*values):
    return bricks(*(convert(value, "psi", "MPa") for value in values))


STRENGTH = (3400.0, 3150.0, 2980.0, 3600.0, 2700.0)
BOILED = (15.2, 16.0, 14.8, 17.5, 15.5)
COLD = (11.9, 12.5, 11.5, 14.0, 12.1)


def five(**changes):
    values = {
        "compressive_strength": psi(*STRENGTH),
        "boiling_absorption": bricks(*BOILED),
        "cold_absorption": bricks(*COLD),
        "saturation_coefficient": bricks(*(c / b for c, b in zip(COLD, BOILED, strict=True))),
    }
    return {name: value for name, value in {**values, **changes}.items() if value is not None}


def test_rounding_first_or_last_makes_another_grade_and_that_is_said():
    # worked out here: mean coefficient 0.7844; SW rounded to 0.78 first, MW raw
    standard = find_standard("ASTM C62")
    rounded, raw = grade(standard, Sample(five())), grade(standard, Sample(five()), "raw")
    assert (rounded.grade, raw.grade) == ("SW", "MW")
    assert "MW" in rounded.rounding_matters
    assert any("saturation coefficient" in text for text in raw.short_of_next)
    assert "0.7844" in " ".join(raw.short_of_next)


def test_a_published_brick_fails_sw_on_its_coefficient_and_fails_the_waiver():
    # Krogstad 2003: boil 11 %, C/B 0.83, so cold 9.13 %: not SW, and not below 8 %
    values = five(
        boiling_absorption=bricks(*[11.0] * 5), cold_absorption=bricks(*[9.13] * 5),
        saturation_coefficient=bricks(*[0.83] * 5), compressive_strength=psi(*[6000.0] * 5),
    )  # fmt: skip
    for name in ("ASTM C62", "ASTM C216", "ASTM C216-03"):
        verdict = grade(find_standard(name), Sample(values))
        assert verdict.grade == "MW"
        assert verdict.waived == ()
    frozen = grade(find_standard("ASTM C216"), Sample(values, {"freeze_cycles": 50}))
    assert frozen.grade == "SW"
    assert "50 cycles" in frozen.waived[0]


def test_two_wordings_of_the_waiver_part_ways():
    # mean below 8 with one brick of 9: waived in the 1990s, not where each must be at most 8
    values = five(
        cold_absorption=bricks(7.0, 7.2, 7.1, 9.0, 7.0),
        boiling_absorption=bricks(*[9.0] * 5),
        saturation_coefficient=bricks(0.78, 0.80, 0.79, 0.99, 0.78),
    )
    older, newer = find_standard("ASTM C216"), find_standard("ASTM C216-03")
    assert grade(older, Sample(values)).grade == "SW"
    assert grade(newer, Sample(values)).grade is None
    two = five(**{**values, "cold_absorption": bricks(6.0, 6.2, 6.1, 9.0, 9.0)})
    assert grade(older, Sample(two)).grade is None


@pytest.mark.parametrize("name", ["GB 5101-2003", "GB/T 5101-2017"])
def test_ten_chinese_bricks_of_an_examination(name):
    # on 120 x 115 mm: mean 16.9, s 2.94, delta 0.17; fk 11.6 (2003) or 11.5 (2017): MU15
    loads = (254, 270, 218, 183, 238, 259, 151, 280, 220, 254)
    found = bricks(*(1000 * load / (120 * 115) for load in loads))
    verdict = grade(find_standard(name), Sample({"compressive_strength": found}))
    assert verdict.grade == "MU15"
    text = " ".join(verdict.because)
    assert "16.9 MPa" in text
    assert ("11.6 MPa" if "2003" in name else "11.5 MPa") in text


def test_a_scattered_lot_is_graded_by_its_least_brick():
    # textbook example 6-4: mean 17.6, delta 0.23, least 9.5: MU10
    found = bricks(14.2, 21.1, 9.5, 22.9, 13.3, 18.8, 18.2, 18.2, 19.8, 19.8)
    older = grade(find_standard("GB 5101-2003"), Sample({"compressive_strength": found}))
    newer = grade(find_standard("GB/T 5101-2017"), Sample({"compressive_strength": found}))
    assert older.grade == "MU10"
    assert newer.grade == "MU15"  # no such route in 2017: fk 10.2 stands for MU15


@pytest.mark.parametrize(("name", "passes"), [("IS 1077", False), ("IS 1077-1992", True)])
def test_the_floor_for_one_brick_moved_with_an_amendment(name, passes):
    # class 7.5, one brick of 6.3 N/mm2: floor 6.375 (15 %) or 6.0 (20 %)
    values = {
        "compressive_strength": bricks(6.3, 8.0, 8.2, 8.1, 8.0),
        "cold_absorption": bricks(*[15.0] * 5), "efflorescence": bricks(*["slight"] * 5),
    }  # fmt: skip
    verdict = grade(find_standard(name), Sample(values))
    assert (verdict.grade == "7.5") is passes
    if not passes:
        assert verdict.grade == "5"
        assert any("6.30" in text for text in verdict.short_of_next)


def test_a_sample_report_reaches_its_class():
    # IS 3495-1 report: mean 14.24 N/mm2 of 13.23, 14.37, 15.12: class 12.5, but three are not five
    values = {
        "compressive_strength": bricks(13.23, 14.37, 15.12),
        "cold_absorption": bricks(*[15.0] * 3),
        "efflorescence": bricks(*["nil"] * 3),
    }
    standard = find_standard("IS 1077")
    verdict = grade(standard, Sample(values))
    assert verdict.grade is None
    assert any("2 more bricks" in need for need in verdict.needs)
    enough = {name: {**row, "4": row["1"], "5": row["3"]} for name, row in values.items()}
    assert grade(standard, Sample(enough)).grade == "12.5"


def test_efflorescence_is_a_word_on_a_scale():
    values = {"compressive_strength": bricks(*[16.0] * 5), "cold_absorption": bricks(*[14.0] * 5),
              "efflorescence": bricks("nil", "nil", "moderate", "slight", "nil")}  # fmt: skip
    # slight is wanted above class 12.5
    assert grade(find_standard("IS 1077"), Sample(values)).grade == "12.5"
    values["efflorescence"] = bricks(*["sparkling"] * 5)
    with pytest.raises(NotPossible, match="sparkling"):
        grade(find_standard("IS 1077"), Sample(values))


@pytest.mark.parametrize(
    ("absorption", "strength", "traffic"),
    [(6.0, 8500.0, "I"), (8.0, 8000.0, "I"), (14.0, 3000.0, "III")],
)
def test_traffic_by_the_abrasion_index(absorption, strength, traffic):
    index = bricks(*[100 * absorption / strength] * 5)
    assert (
        grade(find_standard("ASTM C902 wear"), Sample({"abrasion_index": index})).grade == traffic
    )


def test_paving_brick_is_judged_by_the_cold_soak_and_building_brick_by_the_boil():
    assert "boiling_absorption" not in find_standard("ASTM C902")["properties"]
    assert find_standard("ASTM C902")["absorption"] == "24 h cold"
    assert find_standard("ASTM C62")["absorption"] == "5 h boil"
    values = five(cold_absorption=bricks(*[13.0] * 5), boiling_absorption=None)
    verdict = grade(find_standard("ASTM C62"), Sample(values))
    assert verdict.grade is None
    assert "boiling_absorption" in verdict.needs
    paving = grade(find_standard("ASTM C902"), Sample(values, {"made": "extruded"}))
    assert paving.grade == "MX"


def test_a_soak_of_13_days_is_not_24_hours():
    values = five(compressive_strength=psi(*[3100.0] * 5), cold_absorption=bricks(*[13.0] * 5))
    verdict = grade(
        find_standard("ASTM C902"), Sample(values, {"soaked_for": 312.0, "made": "extruded"})
    )
    assert verdict.grade is None
    assert any("24 h" in need for need in verdict.needs)
    right = Sample(values, {"soaked_for": 24.0, "made": "extruded"})
    assert grade(find_standard("ASTM C902"), right).grade == "MX"


def test_one_brick_where_five_are_asked_gives_no_grade():
    verdict = grade(find_standard("ASTM C62"), Sample({"compressive_strength": psi(9000.0)}))
    assert verdict.grade is None
    assert verdict.undecided == "SW"
    assert "1 bricks, 5 asked for" in verdict.sure


def test_weighings_that_contradict_each_other_give_no_grade():
    values = five(boiling_absorption=bricks(15.2, None, 14.8, 17.5, 15.5))
    verdict = grade(find_standard("ASTM C62"), Sample(values))
    assert verdict.grade is None
    assert any("weighed again" in need for need in verdict.needs)


def test_a_verdict_near_its_limit_is_withheld_and_says_what_would_settle_it():
    near = five(
        saturation_coefficient=bricks(*(rectangular(0.77, 0.02) for _ in range(5))),
        compressive_strength=psi(*[5000.0] * 5),
    )
    verdict = grade(find_standard("ASTM C62"), Sample(near))
    assert verdict.grade is None
    assert verdict.undecided == "SW"
    assert verdict.at_least == "MW"
    assert any("saturation coefficient" in need for need in verdict.needs)
    clear = {**near, "saturation_coefficient": bricks(*(rectangular(0.70, 0.02),) * 5)}
    assert grade(find_standard("ASTM C62"), Sample(clear)).grade == "SW"


def test_a_sure_failure_is_not_hidden_by_a_near_one():
    values = five(boiling_absorption=bricks(16.9, 16.9, 16.9, 16.9, rectangular(26.5, 0.3)))
    assert grade(find_standard("ASTM C62"), Sample(values)).grade == "NW"


def test_more_bricks_settle_what_scatter_of_reading_leaves_open():
    values = [rectangular(16.8, 0.8) for _ in range(5)]
    verdict = grade(find_standard("ASTM C62"), Sample(five(boiling_absorption=bricks(*values))))
    assert any("more" in need for need in verdict.needs)


def test_blocks_fired_at_800_pass_22_per_cent_by_a_hair_only():
    # Azeredo et al.: 26.34 % at 700 degC fails, 21.97 at 800 passes by 0.03 points
    limit = {"property": "cold_absorption", "of": "mean", "at_most": 22.0}
    standard = {
        "name": "limit of the study",
        "edition": "",
        "source": "Azeredo et al.",
        "sample": 1,
        "rounding": {"compare": "raw"},
        "properties": {"cold_absorption": {"unit": "%", "step": 0.01}},
        "grades": [{"name": "passes", "limits": [limit]}],
    }
    hot, cold = measured.column("firing_temperature_effect_blocks", "absorption_mean_pct")[::-1]
    assert grade(standard, Sample({"cold_absorption": bricks(hot)})).grade == "passes"
    assert grade(standard, Sample({"cold_absorption": bricks(cold)})).grade is None
    unsure = grade(standard, Sample({"cold_absorption": bricks(rectangular(hot, 0.1))}))
    assert unsure.undecided == "passes"


def test_a_mix_that_fails_20_and_22_passes_25():
    # Bengkulu: 23.1 % without ash fails 20 and 22, passes 25; 28.2 % with ash fails all
    plain, ash = measured.column("mix_rice_husk_ash_endpoints", "absorption_pct")
    standard = find_standard("Indian classes, older")
    signs = {"ring": bricks(*["clear"] * 5), "scratch": bricks(*["none"] * 5),
             "efflorescence": bricks(*["nil"] * 5)}  # fmt: skip
    first = grade(standard, Sample({**signs, "cold_absorption": bricks(*[plain] * 5)}))
    second = grade(standard, Sample({**signs, "cold_absorption": bricks(*[ash] * 5)}))
    assert (first.grade, second.grade) == ("third", None)


def test_a_standard_is_found_however_it_is_written():
    for name in ("ASTM C62", "astm c62", "ASTM-C62", "astm-c62"):
        assert find_standard(name)["name"] == "ASTM C62"
    with pytest.raises(NotPossible, match="ASTM C62"):
        find_standard("ASTM C9999")


def test_adding_a_standard_takes_no_code():
    limit = {"property": "ring", "of": "each", "at_most": "clear"}
    mine = {
        "name": "our yard",
        "edition": "this year",
        "source": "us",
        "sample": 2,
        "rounding": {"compare": "rounded"},
        "properties": {"ring": {"scale": ["clear", "dull"]}},
        "grades": [{"name": "wall", "limits": [limit]}],
    }
    assert grade(mine, Sample({"ring": bricks("clear", "clear")})).grade == "wall"
    assert grade(mine, Sample({"ring": bricks("clear", "dull")})).grade is None


@pytest.mark.parametrize("table", names("standards"))
def test_each_standard_is_whole(table):
    standard = load(table)
    for key in ("name", "title", "edition", "source", "sample", "rounding", "properties", "grades"):
        assert standard[key], f"{table}: {key}"
    assert standard["rounding"]["compare"] in ("rounded", "raw")
    rules = [rule for one in standard["grades"] for rule in one["limits"]]
    rules += [rule for one in standard.get("waivers", ()) for rule in one["when"]]
    for rule in rules:
        if "property" in rule:
            shape = standard["properties"][rule["property"]]
            assert "scale" in shape or {"unit", "step"} <= shape.keys()
        assert sum(key in rule for key in ("at_least", "at_most", "below", "is")) == 1
    for waiver in standard.get("waivers", ()):
        assert waiver["words"]
        assert waiver["edition"]
    if "absorption" in standard:
        kinds = {"boil": "boiling_absorption", "cold": "cold_absorption"}
        wanted = kinds[standard["absorption"].rpartition(" ")[2]]
        assert wanted in standard["properties"] or "abrasion_index" in standard["properties"]


def test_what_is_only_from_memory_is_said():
    verdict = grade(find_standard("ASTM C62"), Sample(five()))
    assert any("NW: compressive strength" in text for text in verdict.from_memory)
    assert any("boil" in text for text in verdict.from_memory)
    assert verdict.source
    assert verdict.edition


def test_every_standard_answers_even_an_empty_sample():
    for name in standards():
        verdict = grade(find_standard(name), Sample({}))
        assert verdict.grade is None
        assert verdict.needs


@settings(max_examples=50)
@given(values=st.lists(st.floats(5, 60), min_size=5, max_size=8), more=st.floats(0.1, 20))
def test_a_stronger_lot_is_never_graded_lower(values, more):
    standard = find_standard("IS 1077")
    order = [row["name"] for row in standard["grades"]]
    rest = {"cold_absorption": bricks(*[10.0] * 8), "efflorescence": bricks(*["nil"] * 8)}

    def place(strengths):
        found = Sample({"compressive_strength": bricks(*strengths), **rest})
        name = grade(standard, found).grade
        return order.index(name) if name else len(order)

    assert place([value + more for value in values]) <= place(values)


def test_two_standards_of_one_name_are_refused_when_they_are_looked_up(monkeypatch):
    one, two = "standards/astm-c62", "standards/bs-3921"
    same = {one: {"name": "ASTM C62"}, two: {"name": "astm c-62"}}
    monkeypatch.setattr("fieldbook.calc.grading.names", lambda folder: (one, two))
    monkeypatch.setattr("fieldbook.calc.grading.load", same.__getitem__)
    with pytest.raises(ValueError, match="two standards are called astm c-62"):
        standards()
