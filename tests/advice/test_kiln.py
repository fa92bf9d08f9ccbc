"""What follows from a kiln as it is written."""

import math

import pytest

from fieldbook.advice.kiln_walls import walls_of

ROUND = 'form = "updraught"\ndiameter = "1.50 m"\nheight = "0.75 m"\nwall_thickness = "254 mm"\n'
"""The small round kiln of Agumba and Abbott 1996: 1.50 m inside, walls of 10 in."""


def kiln_of(context_of, text: str):
    return context_of("2026-05-03 09:00", kilns__k=text).review("kilns/k")


def test_the_inside_of_a_round_kiln_is_a_cylinder(context_of):
    volume = kiln_of(context_of, ROUND).number("volume")
    assert volume == pytest.approx(math.pi / 4 * 1.5**2 * 0.75)


def test_a_size_stands_in_for_walls_that_are_not_written(context_of):
    review = kiln_of(context_of, ROUND)
    mass = review.results["wall_mass"]
    outside, height = 1.5 + 2 * 0.254, 0.75 + 0.254
    area = math.pi * outside * height + math.pi / 4 * outside**2
    assert mass.number == pytest.approx(area * 0.254 * 1700)
    assert mass.low < mass.number < mass.high
    assert any(given.source and not given.where for given in mass.inputs), "defaults name a source"


def test_what_is_written_goes_before_what_is_reckoned(context_of):
    review = kiln_of(context_of, ROUND + 'wall_mass = "900 kg"\nwall_area = "6 m2"\n')
    assert review.number("wall_mass") == 900
    assert review.results["wall_mass"].extra["area"] == 6


def test_a_kiln_without_a_size_asks_for_it(context_of):
    review = kiln_of(context_of, 'form = "clamp"\n')
    assert review.results["volume"].needs == ("length", "width", "height")
    assert "wall_mass" not in review.results


def test_walls_lose_by_conductivity_over_thickness(context_of):
    """0.5 m of 0.7 W/mK between 400 and 300: 140 W/m2 (Coulson & Richardson 9.2) without films."""
    text = ROUND.replace("254 mm", "500 mm") + 'wall_conductivity = "0.7 W/(m K)"\n'
    kiln = kiln_of(context_of, text).entry
    walls = walls_of(kiln)
    assert walls is not None
    bare = 0.7 / 0.5 * 100
    assert walls.flux(120.0, 1) == pytest.approx(100 / (0.5 / 0.7 + 1 / 12))
    assert walls.flux(120.0, 1) < bare == pytest.approx(140)


def test_a_written_spread_holds_until_a_firing_shows_its_own(context_of):
    found = kiln_of(context_of, ROUND + 'spread = "40 K"\n').results["spread"]
    assert found.number == 40 and found.from_ == ("kilns/k.toml:5",)
