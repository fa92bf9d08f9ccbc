"""What cannot be right in a record and no other test of a kind provokes: place and remedy."""

import pytest

from tests.advice.conftest import read_context

MIX = 'parts = [{ clay = "c", mass = "3 kg" }]\n'
BATCH = 'mix = "m"\nmoulded = 2026-04-02\ncount = 10\n'
FIRING = 'kiln = "k"\nload = [{ batch = "b", count = 10 }]\n'
SPECIMEN = (
    'batch = "b"\ntrue_density = "1.5 g/cm3"\n[specimens]\n'
    '"1" = { dry_mass = "2450 g", soaked_mass = "2830 g", suspended_mass = "1495 g" }\n'
)
LINED = (
    'form = "flat lining"\nhot_face = "900 C"\nsurroundings = "950 C"\n'
    'layers = [{ material = "brick", thickness = "230 mm", conductivity = "0.8 W/(m K)" }]\n'
)

CASES = {
    "a brick denser than its own powder": (
        "tests/t", SPECIMEN, 2, "is denser than the true density 1.5 g/cm3", "ground brick",
    ),
    "surroundings hotter than the hot face": (
        "builds/l", LINED, 2, "", "Correct hot_face or surroundings",
    ),
    "a cone that no chart gives": (
        "firings/f",
        FIRING + '[log]\n"2026-05-03 08:00" = { event = "lit" }\n'
        '"2026-05-03 09:00" = { temperature = "120 C" }\n'
        '"2026-05-03 10:00" = { temperature = "200 C" }\n'
        '"2026-05-03 11:00" = { cone = "99", state = "bent" }\n',
        7, "no chart gives cone 99", "as printed on it",
    ),
    "a heat value that no fuel has": (
        "firings/f",
        FIRING + 'fuel = [{ name = "oak", calorific_value = "1.9 MJ/kg" }]\n',
        3, "1.9 MJ/kg is no heat value of a fuel", "18.5 to 19 MJ/kg",
    ),
    "a brick weighed before it was moulded": (
        "batches/b",
        BATCH + '[marked]\n"1" = { mass = "3.2 kg" }\n[log]\n'
        '"2026-03-30 08:00" = { brick = "1", mass = "3.1 kg" }\n',
        7, "was weighed before the batch was moulded (2026-04-02)", "the time of one of the two",
    ),
    "marks that lie on each other": (
        "batches/b", BATCH + '[marked]\n"1" = { mass = "3.2 kg", marks = "0 mm" }\n',
        5, "marks of 0 mm are not greater than zero", "Measure them again",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_what_cannot_be_right_is_named_with_its_line_and_the_way_out(name):
    address, text, line, what, remedy = CASES[name]
    entries = {
        "clays__c": 'place = "bank"\n', "mixes__m": MIX, "kilns__k": 'form = "updraught"\n',
        "batches__b": BATCH,
    }  # fmt: skip
    entries[address.replace("/", "__")] = text
    review = read_context("2026-06-01 12:00", **entries).review(address)
    assert review is not None
    found = [p for p in review.problems if what in p.what and remedy in p.remedy]
    assert [(p.path, p.line) for p in found] == [(f"{address}.toml", line)], review.problems
