"""True bricks: an eighth of each as a block of cells in three dimensions, in short steps.

Nothing here is the program's march: no slab, no box factor, no modes, no joining. Only the laws of
the reactions and their ranges are the same, each brick with its own draw from the ranges.
"""

from dataclasses import dataclass

import numpy as np

from fieldbook.calc import kinetics
from fieldbook.calc.brick import BOILING, PARAMETERS, STEAM_ACTIVATION, STEAM_HEAT, Brick
from fieldbook.calc.heat_work import ENERGY_BAND
from fieldbook.calc.properties import FIRED_DIFFUSIVITY, GREEN_DIFFUSIVITY

SIGMA = 5.670374e-8
CELLS = 8


@dataclass
class TrueBricks:
    """Many bricks at once; each array has one value a brick."""

    bricks: list[Brick]
    green: np.ndarray
    fired: np.ndarray
    convection: np.ndarray
    emissivity: np.ndarray
    drying: np.ndarray  # h at 100 degC
    water: np.ndarray
    kaolinite: np.ndarray
    illite: np.ndarray
    carbonate: np.ndarray
    density: np.ndarray
    kaolinite_heat: np.ndarray
    early: np.ndarray  # 0 to 1, between the late and the early kinetics
    carbon_dioxide: np.ndarray
    energy: np.ndarray


def drawn(rng, count):
    """Bricks drawn from the stated ranges: sides, and all that is not known of them."""

    def uniform(low, high):
        return rng.uniform(low, high, count)

    def spread(low, high):
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    bricks = [
        Brick(rng.uniform(0.18, 0.26), rng.uniform(0.09, 0.13), rng.uniform(0.05, 0.085))
        for _ in range(count)
    ]
    default, p = bricks[0], PARAMETERS
    thickness = np.array([b.thickness for b in bricks])
    kaolinite_heat = uniform(kinetics.KAOLINITE_HEAT[0], kinetics.KAOLINITE_HEAT[2])
    return TrueBricks(
        bricks=bricks,
        green=spread(GREEN_DIFFUSIVITY.low, GREEN_DIFFUSIVITY.high),
        fired=uniform(FIRED_DIFFUSIVITY.low, FIRED_DIFFUSIVITY.high),
        convection=spread(p.convection[0], p.convection[2]),
        emissivity=uniform(p.emissivity[0], p.emissivity[2]),
        drying=spread(p.drying_time[2], p.drying_time[0]) * (thickness / 0.070) ** 2,
        water=uniform(default.free_water[0], default.free_water[2]),
        kaolinite=uniform(default.kaolinite[0], default.kaolinite[2]),
        illite=uniform(default.illite[0], default.illite[2]),
        carbonate=uniform(default.carbonate[0], default.carbonate[2]),
        density=uniform(default.density[0], default.density[2]),
        kaolinite_heat=kaolinite_heat,
        early=uniform(0, 1),
        carbon_dioxide=uniform(p.carbon_dioxide[2], p.carbon_dioxide[0]),
        energy=uniform(ENERGY_BAND[0], ENERGY_BAND[2]),
    )


def _between(late, early, share):
    ln_a = late.ln_frequency + share * (early.ln_frequency - late.ln_frequency)
    energy = late.activation_energy + share * (early.activation_energy - late.activation_energy)
    return ln_a, energy / kinetics.GAS_CONSTANT


def fired(true, seconds, gas, probe, every=60.0):
    """What happens inside: a dict of arrays (time, brick), a row each `every` seconds.

    Args:
        true: the bricks.
        seconds: times of the curve.
        gas: (time, brick), degC, of the gas or of the faces.
        probe: "gas" or "face": what the curve is of.
        every: seconds between the rows kept.
    """
    count = len(true.bricks)
    cell = np.array([[s / 2 / CELLS for s in b.sides] for b in true.bricks])  # (brick, axis)

    def per_brick(values):
        return np.asarray(values)[:, None, None, None]

    alpha_green, alpha_fired = per_brick(true.green), per_brick(true.fired)
    fastest = max(true.green.max(), true.fired.max())
    dt = 0.4 / (fastest * (1 / cell**2).sum(1).max() * 2)
    dt = every / np.ceil(every / dt)
    kelvin = np.full((count, CELLS, CELLS, CELLS), 0.0) + per_brick(gas[0]) + 273.15
    left = [np.ones_like(kelvin) for _ in range(3)]
    root = np.ones_like(kelvin)
    laws = [
        (
            STEAM_ACTIVATION / BOILING - np.log(true.drying * 3600),
            np.full(count, STEAM_ACTIVATION),
        ),
        _between(kinetics.KAOLINITE_LATE, kinetics.KAOLINITE_EARLY, true.early),
        _between(kinetics.ILLITE_LATE, kinetics.ILLITE_EARLY, true.early),
    ]
    laws = [(per_brick(a), per_brick(t)) for a, t in laws]
    illite_heat = true.kaolinite_heat / kinetics.WATER_OF_KAOLINITE * kinetics.WATER_OF_ILLITE
    heats = [
        per_brick(true.water * STEAM_HEAT),
        per_brick(true.kaolinite * true.kaolinite_heat),
        per_brick(true.illite * illite_heat),
    ]
    lime_heat = per_brick(true.carbonate * kinetics.CALCITE_HEAT)
    dioxide = per_brick(true.carbon_dioxide)
    highest = gas[0].copy()
    work = np.zeros(count)
    shares = np.array([true.kaolinite * kinetics.WATER_OF_KAOLINITE,
                       true.illite * kinetics.WATER_OF_ILLITE])  # fmt: skip
    kept = {name: [] for name in ("time", "face", "core", "water", "bound", "carbonate", "work")}
    steps = round((seconds[-1] - seconds[0]) / dt)
    row = round(every / dt)
    for i in range(steps + 1):
        now = seconds[0] + i * dt
        if i % row == 0:
            bound = (
                left[1][:, 0, 0, 0] * shares[0] + left[2][:, 0, 0, 0] * shares[1]
            ) / shares.sum(0)
            core = kelvin[:, 0, 0, 0] - 273.15
            skin = _skin(kelvin, true, _at(now, seconds, gas), probe, cell)
            for name, value in zip(
                kept,
                (now, skin, core, 100 * true.water * left[0][:, 0, 0, 0], bound,
                 root[:, 0, 0, 0] ** 3, work.copy()),
                strict=True,
            ):  # fmt: skip
                kept[name].append(value)
        outside = _at(now + dt / 2, seconds, gas)
        highest = np.maximum(highest, outside)
        part = per_brick(np.clip((highest - 800) / 200, 0, 1))
        alpha = alpha_green + part * (alpha_fired - alpha_green)
        heat = 1128 + 0.102 * kelvin - 36e6 / kelvin**2
        change = alpha * _spread_of(kelvin, cell)
        change += _through_faces(kelvin, alpha, heat, true, outside + 273.15, probe, cell)
        for n, (ln_a, theta) in enumerate(laws):
            after = left[n] * np.exp(-dt * np.exp(ln_a - theta / kelvin))
            change -= (left[n] - after) * heats[n] / heat / dt
            left[n] = after
        lime = kinetics.LIMESTONE
        k = np.exp(lime.ln_frequency - lime.activation_energy / kinetics.GAS_CONSTANT / kelvin)
        k = k * kinetics.drive_of_carbonate(kelvin, dioxide)
        new = np.maximum(root - k * dt, 0)
        change -= (root**3 - new**3) * lime_heat / heat / dt
        root = new
        work += dt * np.exp(-true.energy / kinetics.GAS_CONSTANT / kelvin[:, 0, 0, 0])
        kelvin = kelvin + dt * change
    return {name: np.array(values) for name, values in kept.items()}


def _at(now, seconds, gas):
    i = min(max(int(np.searchsorted(seconds, now)), 1), len(seconds) - 1)
    share = (now - seconds[i - 1]) / (seconds[i] - seconds[i - 1])
    return gas[i - 1] + share * (gas[i] - gas[i - 1])


def _spread_of(kelvin, cell):
    """Second differences inside; the middle planes insulate by symmetry, the faces come apart."""
    total = np.zeros_like(kelvin)
    for axis in (1, 2, 3):
        flow = np.diff(kelvin, axis=axis) / cell[:, axis - 1][:, None, None, None] ** 2
        first, last = [slice(None)] * 4, [slice(None)] * 4
        first[axis], last[axis] = slice(None, -1), slice(1, None)
        total[tuple(first)] += flow
        total[tuple(last)] -= flow
    return total


def _through_faces(kelvin, alpha, heat, true, outside, probe, cell):
    total = np.zeros_like(kelvin)
    gas = outside[:, None, None]
    for axis in (1, 2, 3):
        last = [slice(None)] * 4
        last[axis] = -1
        skin = kelvin[tuple(last)]
        size = cell[:, axis - 1][:, None, None]
        a = alpha[:, 0]
        if probe == "face":
            total[tuple(last)] += 2 * a * (gas - skin) / size**2
            continue
        storage = true.density[:, None, None] * heat[tuple(last)]
        film = true.convection[:, None, None] + true.emissivity[:, None, None] * SIGMA * (
            gas**2 + skin**2
        ) * (gas + skin)
        resistance = 1 / film + size / 2 / (a * storage)
        total[tuple(last)] += (gas - skin) / resistance / (storage * size)
    return total


def _skin(kelvin, true, outside, probe, cell):
    """Temperature at the middle of the largest face, degC."""
    if probe == "face":
        return outside
    inner, size = kelvin[:, -1, 0, 0], cell[:, 0]
    hot = outside + 273.15
    heat = 1128 + 0.102 * inner - 36e6 / inner**2
    conduct = true.green * true.density * heat / (size / 2)
    film = true.convection + true.emissivity * SIGMA * (hot**2 + inner**2) * (hot + inner)
    return (film * hot + conduct * inner) / (film + conduct) - 273.15
