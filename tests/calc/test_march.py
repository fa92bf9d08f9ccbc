"""The march against the analytic series, against another solver, and against itself.

The other solver is scipy's, on the same equations written out apart, on its own grid of nodes:
it shares no code with the march but the constants.
"""

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.sparse import block_array, diags_array, eye_array

from fieldbook.calc import march as engine
from fieldbook.calc.brick import PARAMETERS, Brick, body_of, bound_water, cells_for
from fieldbook.calc.conduction import plane_wall, ramp_lag
from fieldbook.calc.firing import March, march
from fieldbook.calc.kinetics import CARBON_DIOXIDE
from fieldbook.calc.path import Path, grid_of
from fieldbook.calc.readings import Readings
from fieldbook.errors import NotPossible

BRICK = Brick(0.230, 0.110, 0.070)
DRY = Brick(
    0.230,
    0.110,
    0.070,
    free_water=(0, 0, 0),
    kaolinite=(0, 0, 0),
    illite=(0, 0, 0),
    carbonate=(0, 0, 0),
)
HOURS, DEGREES = [0, 7, 9, 17, 22, 24], [20, 100, 120, 600, 960, 880]


def marched(brick, probe, hours, degrees):
    """Times [s], face and core (time, set) along straight lines, in the march's own steps."""
    hours, degrees = np.array(hours, float), np.array(degrees, float)
    none = np.zeros((1, len(hours)))
    grid = grid_of(Path(hours, np.stack([degrees] * 3), none, none, []))
    body = body_of(brick, PARAMETERS, probe)
    start = engine.at_rest(np.full((1, 3), degrees[0]), 3, cells_for(brick))
    seconds = grid.time * 3600
    _, course = engine.advance(body, start, seconds, grid.sets.T[:, None, :], (grid.half).T)
    return seconds[1:], course.face[:, 0], course.core[:, 0], course


def test_a_ramp_lags_as_the_series_says():
    time, face, core, _ = marched(DRY, "face", [0, 4], [20, 220])
    for which in range(3):
        alpha = PARAMETERS.green_diffusivity[which] / DRY.factor
        lag = ramp_lag.plain(50 / 3600, 0.035, alpha, time)
        assert np.abs(face[:, which] - core[:, which] - lag).max() < 0.03


def test_gas_of_another_temperature_heats_as_the_series_says(monkeypatch):
    # a film without radiation and a body of steady specific heat: the plane wall of the textbooks
    parameters = PARAMETERS._replace(emissivity=(0, 0, 0))
    body = body_of(DRY, parameters, "gas")
    start = engine.at_rest(np.full((1, 3), 500.0), 3, 32)
    time = np.concatenate([[0, 0.01], np.arange(5, 3601, 5.0)])
    path = np.full((len(time), 1, 3), 520.0)
    monkeypatch.setattr(engine, "michot_specific_heat", lambda kelvin: 0 * kelvin + 1100.0)
    none = np.zeros((len(time), 1))
    _, course = engine.advance(body, start, time, path, none, sinks=False)
    for which in range(3):
        alpha = PARAMETERS.green_diffusivity[which] / DRY.factor
        k = alpha * body.density[0, which] * 1100.0
        biot = body.convection[0, which] * DRY.exposure * 0.035 / k
        wanted = 520 - 20 * plane_wall(biot, alpha * 3600 / 0.035**2)
        assert course.core[-1, 0, which] == pytest.approx(wanted, abs=0.03)


def written_out(body, which, path_hours, path, probe, nodes=60):
    """The equations of the march for one set, as an ordinary differential equation."""
    dx = 1.0 / nodes
    half = body.half_thickness[0, which]
    heat = body.heat[:, 0, which]
    ln_a, theta = body.ln_frequency[:, 0, which], body.activation[:, 0, which]
    lime_heat, lime_gas = body.carbonate_heat[0, which], body.carbonate_gas[0, which]
    n = nodes + 1

    def unpack(y):
        parts = y.reshape(5, n)
        return parts[0], parts[1:4], parts[4]

    green, fired = body.green_diffusivity[0, which], body.fired_diffusivity[0, which]
    peak_at = path_hours[int(np.argmax(path))]

    def alpha_at(t):
        # the reading climbs to its peak, so until then its highest is where it is
        top = np.interp(min(t / 3600, peak_at), path_hours, path)
        share = np.clip((top - engine.FIRED[0]) / (engine.FIRED[1] - engine.FIRED[0]), 0, 1)
        return green + share * (fired - green)

    def slope(t, y):
        celsius, left, lime = unpack(y)
        if probe == "face":
            celsius = np.append(celsius[:-1], np.interp(t / 3600, path_hours, path))
        kelvin = celsius + 273.15
        rate = np.exp(ln_a[:, None] - theta[:, None] / kelvin) * left
        k = np.exp(
            body.carbonate_ln_frequency[0, which] - body.carbonate_activation[0, which] / kelvin
        )
        free = np.maximum(
            1 - lime_gas / (CARBON_DIOXIDE[0] * np.exp(-CARBON_DIOXIDE[1] / kelvin)), 0
        )
        lime_rate = 3 * k * free * np.maximum(lime, 0) ** (2 / 3)
        c = 1128 + 0.102 * kelvin - 36e6 / kelvin**2
        sink = ((rate * heat[:, None]).sum(0) + lime_rate * lime_heat) / c
        alpha = alpha_at(t)
        bent = np.empty(n)
        bent[1:-1] = celsius[2:] - 2 * celsius[1:-1] + celsius[:-2]
        bent[0] = 2 * (celsius[1] - celsius[0])
        change = alpha / half**2 * bent / dx**2 - sink
        if probe == "face":
            change[-1] = (celsius[-1] - y[n - 1]) / 10  # the face is where it was read
        else:
            gas = np.interp(t / 3600, path_hours, path) + 273.15
            h = body.convection[0, which] + body.emissivity[0, which] * 5.670374e-8 * (
                gas**2 + kelvin[-1] ** 2
            ) * (gas + kelvin[-1])
            flux = h * body.exposure[0, which] * (gas - kelvin[-1])
            inward = alpha / half**2 * 2 * (celsius[-2] - celsius[-1]) / dx**2
            per_cell = body.density[0, which] * c[-1] * half * dx / 2
            change[-1] = flux / per_cell + inward - sink[-1]
        return np.concatenate([change, (-rate).ravel(), -lime_rate])

    one = diags_array(
        [np.ones(n - 1), np.ones(n), np.ones(n - 1)], offsets=[-1, 0, 1], shape=(n, n)
    )
    touches = block_array(
        [[one if row == 0 == column else eye_array(n) for column in range(5)] for row in range(5)]
    )
    return slope, n, touches


@pytest.mark.parametrize("probe", ["face", "gas"])
def test_the_march_agrees_with_another_solver_over_a_day(probe):
    # within 0.1 K over a 24 h curve with water, two clays and lime, in the slow and middle set
    time, face, core, course = marched(BRICK, probe, HOURS, DEGREES)
    body = body_of(BRICK, PARAMETERS, probe)
    for which in (0, 1):
        slope, n, touches = written_out(body, which, HOURS, DEGREES, probe)
        y = np.concatenate([np.full(n, 20.0), np.ones(4 * n)])
        worst = np.zeros(3)
        for a, b in pairwise(HOURS):
            at = time[(time > a * 3600 + 1) & (time <= b * 3600 + 1)][::-20][::-1]
            found = solve_ivp(
                slope, (a * 3600, b * 3600), y, "BDF", t_eval=at, rtol=1e-6, atol=1e-6,
                first_step=1.0, jac_sparsity=touches,
            )  # fmt: skip
            assert found.success
            y = found.y[:, -1]
            index = np.searchsorted(time, at)
            off = [
                found.y[0] - core[index, which],
                (found.y[n - 1] - face[index, which]) * (probe == "gas"),
                found.y[n] - course.left[index, 0, 0, which],
            ]
            worst = np.maximum(worst, [np.abs(o).max() for o in off])
        worst_core, worst_face, worst_water = worst
        assert worst_core < 0.1, (which, worst_core)
        assert worst_face < 0.15, (which, worst_face)
        assert worst_water < 2e-3, (which, worst_water)


def readings(hours, degrees, probe="face", half=2.5):
    return Readings(np.array(hours, float), np.array(degrees, float), np.array([half]), probe)


def log_of_a_day(n=300, probe="gas", seed=3, noise=1.0):
    time = np.linspace(0, 24, n)
    rng = np.random.default_rng(seed)
    degrees = np.interp(time, HOURS, DEGREES) + noise * rng.standard_normal(n)
    return Readings(time, degrees, np.array([2.5]), probe)


NAMES = ("face", "core", "free_water_left", "bound_water_left", "carbonate_left")


def test_reading_by_reading_is_the_same_as_all_at_once():
    log = log_of_a_day(120)
    whole = march({"top": log}, BRICK).places["top"]
    step = March(BRICK)
    for i in range(len(log)):
        one = Readings(log.time[i : i + 1], log.temperature[i : i + 1], log.half[:1], log.probe)
        step.take_up("top", one)
    live = step.state(float(log.time[-1])).places["top"]
    for name in NAMES:
        there = np.stack([np.interp(whole.time, live.time, row) for row in getattr(live, name)])
        within = 0.1 if name in ("face", "core") else 0.02
        assert np.abs(there - getattr(whole, name)).max() < within, name


def test_places_marched_as_one_are_the_same_as_alone():
    top = log_of_a_day(200, seed=1)
    low = log_of_a_day(150, "face", seed=2)
    low = Readings(low.time[5:130] + 0.01, low.temperature[5:130], low.half[5:130], "face")
    both = march({"top": top, "low": low}, BRICK, until=24.0)
    for place, log in (("top", top), ("low", low)):
        alone = march({place: log}, BRICK, until=24.0).places[place]
        there = both.places[place]
        core = np.interp(alone.time, there.time, there.core[1])
        assert np.abs(core - alone.core[1]).max() < 0.1


def test_close_readings_are_joined_within_a_tenth_of_a_kelvin(monkeypatch):
    log = log_of_a_day(20_000, "face")
    joined = march({"top": log}, BRICK).places["top"]
    assert joined.joined > 15_000
    from fieldbook.calc import path

    monkeypatch.setattr(path, "LONGEST_STEP", 4.0)
    monkeypatch.setattr(path, "SHORTEST_STEP", 4.0)
    fine = march({"top": log}, BRICK).places["top"]
    assert fine.joined == 0
    core = np.interp(joined.time, fine.time, fine.core[1])
    assert np.abs(core - joined.core[1])[1:].max() < 0.1


def test_the_bounds_enclose_the_middle_and_water_never_comes_back():
    state = march({"top": log_of_a_day()}, BRICK).places["top"]
    for name in (*NAMES, "lag", "carbon_left", "heat_work"):
        low, middle, high = getattr(state, name)
        assert np.all(low <= middle + 1e-9)
        assert np.all(middle <= high + 1e-9)
    for name in ("free_water_left", "bound_water_left", "carbonate_left", "carbon_left"):
        assert np.all(np.diff(getattr(state, name)[1]) <= 1e-9), name
    assert np.all(np.diff(state.heat_work[1]) >= -1e-9)


def test_what_boils_holds_the_core_back():
    wet = Brick(0.230, 0.110, 0.070, free_water=(0.08, 0.10, 0.12))
    log = readings([0, 2, 4], [20, 100, 180])
    assert march({"a": log}, wet).places["a"].now("core")[1] < (
        march({"a": log}, BRICK).places["a"].now("core")[1] - 10
    )


def test_a_tight_bench_lags_far_more_than_a_loose_brick():
    bench = Brick(0.230, 0.110, 0.070, bench=0.25)
    log = readings([0, 8], [20, 420])
    loose = march({"a": log}, BRICK).places["a"].now("lag")[1]
    tight = march({"a": log}, bench).places["a"].now("lag")[1]
    assert tight > 5 * loose


def test_a_gap_is_bridged_with_wider_bounds_and_marked():
    often = readings([0, 0.5, 1, 1.5, 2, 2.5, 3], [200, 225, 250, 275, 300, 325, 350])
    seldom = readings([0, 0.5, 2.5, 3], [200, 225, 325, 350])
    a, b = (march({"p": r}, BRICK, reading_every=0.5).places["p"] for r in (often, seldom))
    assert a.bridged == ()
    assert b.bridged == ((0.5, 2.5),)
    wide = [p.at("face", 1.5)[2] - p.at("face", 1.5)[0] for p in (a, b)]
    assert wide[1] > 3 * wide[0]


def test_past_the_last_reading_the_state_goes_on_for_one_interval_only():
    log = readings([0, 0.5, 1.0], [300, 325, 350])
    state = march({"p": log}, BRICK, until=9.0, reading_every=0.5).places["p"]
    assert state.time[-1] == pytest.approx(1.5)
    assert state.age == pytest.approx(8.0)
    assert state.now("face")[0] < 350 < state.now("face")[1] < state.now("face")[2]
    early = march({"p": log}, BRICK, until=0.6).places["p"]
    assert early.last_reading == 0.5


def test_bound_water_counts_by_the_water_each_clay_holds():
    # by hand: 0.2 * 0.13957 and 0.2 * 0.0452 in the middle set
    assert bound_water(BRICK)[:, 1] == pytest.approx([0.027914, 0.00904], rel=1e-4)


def test_what_cannot_be_is_refused():
    with pytest.raises(NotPossible):
        Brick(0.2, 0.1, 0.0)
    with pytest.raises(NotPossible):
        Brick(0.2, 0.1, 0.07, free_water=(0.05, 0.03, 0.06))
    with pytest.raises(NotPossible):
        March(BRICK).state(0.0)
    run = March(BRICK)
    run.take_up("a", readings([0, 1], [20, 40]))
    with pytest.raises(NotPossible):
        run.take_up("a", readings([0.5], [30]))
    with pytest.raises(NotPossible):
        run.take_up("a", readings([2], [60], probe="gas"))


def test_a_probe_inside_reads_the_core_and_the_face_leads_it():
    log = readings([0, 1, 2, 3, 4], [300, 340, 380, 420, 460], "inside")
    state = march({"a": log}, DRY).places["a"]
    low, core, high = state.at("core", 3.0)
    assert core == pytest.approx(420)
    assert low < 420 < high
    lead = 40 / 3600 * 0.035**2 / 2 / (4e-7 / DRY.factor)  # r L^2 / (2 alpha)
    assert state.at("face", 3.0)[1] - core == pytest.approx(lead, rel=0.02)
    wrong = march({"a": readings([0, 4], [300, 460], "face")}, DRY).places["a"]
    assert state.now("heat_work")[1] > wrong.now("heat_work")[1]
