"""What the march costs, beside scipy's solvers on the same task. Run by hand:

    python -m tests.bench.march_speed

Prints processor times and ratios: a day of 1,500 readings at two places with three parameter
sets; one new reading; 20,000 readings; and temperatures alone against solve_ivp at equal accuracy.
"""

import time

import numpy as np
from scipy.integrate import solve_ivp

from fieldbook.calc.brick import PARAMETERS, Brick, body_of, cells_for
from fieldbook.calc.firing import March, march
from fieldbook.calc.march import advance, at_rest
from fieldbook.calc.path import Path, grid_of
from fieldbook.calc.readings import Readings

# LSODA with its band is the fastest of them here by far: without it a hundred times slower, BDF and
# Radau slower still, and RK45, RK23 and DOP853 are held to steps of a second by the cells.
SOLVERS = [("LSODA", {"lband": 1, "uband": 1})]
BRICK = Brick(0.230, 0.110, 0.070)
HOURS, DEGREES = [0, 7, 9, 17, 22, 24], [20, 100, 120, 600, 960, 880]


def best(call, times=5):
    """Least processor time of several calls, s, and the last answer."""
    took = []
    for _ in range(times):
        start = time.process_time()
        answer = call()
        took.append(time.process_time() - start)
    return min(took), answer


def log(count, seed, offset=0.0):
    hours = np.linspace(0, 24, count) + offset
    noise = np.random.default_rng(seed).standard_normal(count)
    degrees = np.round(np.interp(hours, HOURS, DEGREES) + noise)
    return Readings(hours, degrees, np.array([2.5]), "gas")


def whole_day():
    """Two places, 1,500 readings each and in all."""
    for count, what in ((1500, "each"), (750, "in all")):
        both = {"top": log(count, 1), "low": log(count, 2, 0.004)}
        took, _ = best(lambda both=both: march(both, BRICK))
        print(f"a day, two places, three sets, 1,500 readings {what}: {1e3 * took:.0f} ms")
    return took


def one_more(whole):
    """One reading on top of a day of them."""
    day = log(1500, 1)
    run = March(BRICK)
    run.take_up("top", day.until(20.0))
    run.state(20.0)
    rest = [i for i in range(len(day)) if day.time[i] > 20.0][:100]
    took = []
    for i in rest:
        one = Readings(day.time[i : i + 1], day.temperature[i : i + 1], day.half[:1], "gas")
        start = time.process_time()
        run.take_up("top", one)
        run.state(float(day.time[i]))
        took.append(time.process_time() - start)
    middle = float(np.median(took))
    print(f"one new reading: {1e3 * middle:.2f} ms, 1/{whole / middle:.0f} of the full march")


def twenty_thousand():
    many = log(20_000, 3)
    took, state = best(lambda: march({"top": many}, BRICK), 3)
    place = state.places["top"]
    print(f"20,000 readings: {1e3 * took:.0f} ms in {len(place.time)} steps, {place.joined} joined")


def alone():
    """Temperatures alone, two places and three sets, at the accuracy of the march."""
    time_h = np.linspace(0, 24, 1500)
    degrees = np.interp(time_h, HOURS, DEGREES)
    none = np.zeros((2, len(time_h)))
    path = Path(time_h, np.stack([degrees] * 6), none, none, [])
    grid = grid_of(path)
    body = body_of(BRICK, PARAMETERS, "face")
    body = type(body)(
        *(
            np.repeat(v, 2, axis=1 if n in ("ln_frequency", "activation", "heat") else 0)
            for n, v in zip(body._fields, body, strict=True)
        )
    )
    start = at_rest(np.full((2, 3), 20.0), 3, cells_for(BRICK))
    sets = grid.sets.reshape(2, 3, -1).transpose(2, 0, 1)

    def ours():
        return advance(body, start, grid.time * 3600, sets, grid.half.T, sinks=False)[1].core

    took, core = best(ours)
    nodes = 32
    rate = np.array(PARAMETERS.green_diffusivity) / BRICK.factor / 0.035**2
    faster = np.array(PARAMETERS.fired_diffusivity) / BRICK.factor / 0.035**2 - rate

    def slope(t, y):
        face = np.interp(t, time_h * 3600, degrees)
        top = face if t < 22 * 3600 else 960.0
        speed = rate + np.clip((top - 800) / 200, 0, 1) * faster
        u = y.reshape(2, 3, nodes)
        bent = np.empty_like(u)
        bent[..., 1:-1] = u[..., 2:] - 2 * u[..., 1:-1] + u[..., :-2]
        bent[..., 0] = 2 * (u[..., 1] - u[..., 0])
        bent[..., -1] = face - 2 * u[..., -1] + u[..., -2]
        return (speed[:, None] * nodes**2 * bent).ravel()

    at = grid.time[1:] * 3600
    y = np.full(6 * nodes, 20.0)

    def theirs(method, **more):
        return solve_ivp(slope, (0, at[-1]), y, method, t_eval=at, max_step=900, **more)

    exact = theirs("LSODA", rtol=1e-9, atol=1e-7, lband=1, uband=1).y[::nodes].T
    ours_off = np.abs(core.reshape(len(at), 6) - exact).max()
    results = []
    for method, more in SOLVERS:
        for tolerance in (1e-3, 3e-4, 1e-4, 3e-5, 1e-5):

            def call(method=method, more=more, tolerance=tolerance):
                return theirs(method, rtol=tolerance, atol=10 * tolerance, **more)

            spent, found = best(call, 2)
            off = np.abs(found.y[::nodes].T - exact).max() if found.success else np.inf
            if off <= 0.1:
                results.append((spent, method, off))
                break
    spent, method, off = min(results)
    print(
        f"temperatures alone: {1e3 * took:.1f} ms, off by {ours_off:.3f} K; best of solve_ivp: "
        f"{method} {1e3 * spent:.1f} ms, off by {off:.3f} K; ratio {took / spent:.2f}"
    )


if __name__ == "__main__":
    one_more(whole_day())
    twenty_thousand()
    alone()
