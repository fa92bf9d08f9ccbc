"""Rates of dehydroxylation and of carbonate against published peaks and conversions."""

import numpy as np
import pytest

from fieldbook.calc import kinetics as k
from fieldbook.errors import NotPossible, OutOfRange

TRANS = k.ILLITE_EARLY


@pytest.mark.parametrize(
    ("reaction", "climb", "peak", "source"),
    [
        (TRANS, 10, 580.8, "Ondro et al. 2019, E 227, A 2.87e13/min"),
        (TRANS, 1, 526.5, "the same at 1 K/min"),
        (TRANS, 50 / 60, 522.5, "the same at 50 K/h"),
        (k.ILLITE_LATE, 10, 682.5, "Ondro et al. 2019, cis-vacant"),
        (k.KAOLINITE_EARLY, 10, 525.0, "calibrated to it"),
        (k.KAOLINITE_LATE, 10, 550.0, "calibrated to it"),
    ],
)
def test_peak_of_a_first_order_reaction(reaction, climb, peak, source):
    # 0.1 K: one unit of the last digit; 1 % of A moves the peak by 0.25 K
    assert k.peak_temperature(reaction, climb) == pytest.approx(peak, abs=0.12), source


def test_peak_is_where_the_rate_along_a_climb_is_highest():
    celsius = np.arange(300.0, 800.0, 0.5)
    left = k.remaining_along(TRANS, celsius / 600, celsius, longest_step=1.0)
    steepest = celsius[np.argmax(-np.diff(left))] + 0.25
    assert steepest == pytest.approx(k.peak_temperature(TRANS, 10), abs=1.0)


# At 50 K/h from 25 degC: conversion on reaching each temperature, worked out by quadrature.
KAOLINITE = [(400, 0.016), (425, 0.070), (450, 0.253), (475, 0.657), (500, 0.973)]
ILLITE = [(450, 0.025), (475, 0.091), (500, 0.281), (525, 0.654), (550, 0.959)]


@pytest.mark.parametrize(
    ("reaction", "celsius", "converted"),
    [(k.KAOLINITE_EARLY, *row) for row in KAOLINITE] + [(TRANS, *row) for row in ILLITE],
)
def test_conversion_at_fifty_kelvin_an_hour(reaction, celsius, converted):
    hours = (celsius - 25) / 50
    left = k.remaining_along(reaction, [0, hours], [25, celsius])
    assert 1 - left[-1] == pytest.approx(converted, abs=6e-4)


@pytest.mark.parametrize(("celsius", "converted"), [(450, 0.543), (480, 0.967), (500, 0.9998)])
def test_an_hour_of_hold_drives_out_the_water_of_kaolinite(celsius, converted):
    left = k.remaining_along(k.KAOLINITE_EARLY, [0, 1], [celsius, celsius])
    assert 1 - left[-1] == pytest.approx(converted, abs=1e-3)


def test_limestone_peaks_and_is_half_gone():
    # doi 10.13264/j.cnki.ysjskx.2016.06.003: R3, E 193.98, lg A 8.81 /min, 10 K/min
    celsius = np.arange(400.0, 900.0, 0.5)
    left = k.remaining_along(k.LIMESTONE, celsius / 600, celsius, longest_step=1.0)
    assert celsius[np.argmax(-np.diff(left))] == pytest.approx(748, abs=1)
    assert np.interp(-0.5, -left, celsius) == pytest.approx(730, abs=1)


def test_fine_calcite_goes_sooner():
    # Crystals 2020, 10(9), 849: R2, E 235.8, A 1.13e11 /s
    celsius = np.arange(400.0, 900.0, 0.5)
    left = k.remaining_along(k.FINE_CALCITE, celsius / 600, celsius, longest_step=1.0)
    assert celsius[np.argmax(-np.diff(left))] == pytest.approx(633, abs=1)


@pytest.mark.parametrize(
    ("pressure", "celsius"), [(1.0, 894), (0.15, 780), (0.10, 759), (0.05, 724)]
)
def test_carbonate_stands_below_its_equilibrium(pressure, celsius):
    assert k.carbonate_equilibrium.plain(celsius) == pytest.approx(pressure, rel=0.012)
    assert k.drive_of_carbonate(celsius + 263.15, pressure) == 0
    assert 0 < k.drive_of_carbonate(celsius + 283.15, pressure) < 1


def test_carbon_dioxide_holds_limestone_back():
    free = k.remaining_along(k.LIMESTONE, [0, 2], [700, 750])
    held = k.remaining_along(k.LIMESTONE, [0, 2], [700, 750], gas=0.10)
    assert held[-1] == 1.0 > free[-1]


def test_shrinking_balls_are_the_textbook_mixture():
    # Levenspiel, Chemical Reaction Engineering, ex. 26.1: complete after 5, 10, 20 min for 30,
    # 40, 30 % of the feed; after 8 min 93.2 % is converted under reaction control
    left = sum(
        share * k.remaining(1.0, 1 / minutes, 8.0, "R3")
        for share, minutes in ((0.3, 5.0), (0.4, 10.0), (0.3, 20.0))
    )
    assert 1 - left == pytest.approx(0.932, abs=6e-4)


def test_enthalpy_and_loss_of_calcite_follow_from_its_parts():
    # formation enthalpies, cementkilns.co.uk: 178.3 kJ/mol of 100.087 g; molar masses
    assert pytest.approx(178.3e3 / 0.100087, rel=1e-3) == k.CALCITE_HEAT
    assert pytest.approx(44.0095 / 100.0869, rel=2e-4) == k.CO2_OF_CALCITE
    assert pytest.approx(2 * 18.0153 / 258.160, rel=2e-4) == k.WATER_OF_KAOLINITE


def test_a_curve_that_runs_backwards_is_refused():
    with pytest.raises(NotPossible):
        k.remaining_along(TRANS, [1, 0], [20, 100])
    with pytest.raises(NotPossible):
        k.remaining(1.0, 1.0, 1.0, "R9")
    with pytest.raises(OutOfRange):
        k.peak_temperature(TRANS, 0)
