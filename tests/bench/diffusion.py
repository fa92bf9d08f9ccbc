"""Bricks that dry by diffusion in changing weather: an independent world to try forecasts on.

Nothing of the program's drying law is in here. Water moves through the clay by diffusion that
depends on moisture, leaves a surface whose vapour pressure falls as it dries (a sorption curve),
into air that changes by the hour and from day to day. All the numbers are ours, drawn wide.
"""

from dataclasses import dataclass

import numpy as np

NODES, STEP = 14, 0.25  # [h]
HORIZON = 60 * 24.0
DENSITY = 1700.0  # [kg/m3] dry clay in the brick


@dataclass
class Batch:
    """One batch: true moistures of its marked bricks over time, and what the maker noted."""

    hours: np.ndarray
    moistures: np.ndarray  # (bricks, hours)
    weather_hours: np.ndarray
    weather: np.ndarray  # (notes, [temperature, humidity])
    weighing_gap: float
    dry_mass_error: float
    brick_errors: np.ndarray
    noted: bool
    area_by_dry_mass: float


def make(count: int, seed: int) -> list[Batch]:
    random = np.random.default_rng(seed)
    worlds = [_world(random) for _ in range(count)]
    bricks = [int(random.integers(3, 7)) for _ in range(count)]
    owner = np.repeat(np.arange(count), bricks)
    total = owner.size
    pick = lambda name: np.array([world[name] for world in worlds])[owner]  # noqa: E731
    first = pick("first") + 0.008 * random.standard_normal(total)
    film = pick("film") * np.exp(pick("spread") * random.standard_normal(total))
    half = pick("half") * np.exp(0.03 * random.standard_normal(total))
    steps = int(HORIZON / STEP)
    air = [_weather(random, world, steps) for world in worlds]
    temperature = np.array([a[0] for a in air])
    humidity = np.array([a[1] for a in air])
    pull = _pull(temperature, humidity)
    moistures = _dry(
        first,
        film,
        half,
        pick("diffusivity"),
        pick("swell"),
        pick("sorption"),
        pull[owner],
        humidity[owner],
    )
    hours = np.arange(0, HORIZON, 1.0)
    batches = []
    for i, world in enumerate(worlds):
        notes = np.sort(np.concatenate([np.arange(8, HORIZON, 24), np.arange(17, HORIZON, 24)]))
        at = (notes / STEP).astype(int)
        seen = np.stack([temperature[i, at], humidity[i, at]], axis=1)
        seen += random.normal(0, [0.7, 0.03], seen.shape)
        mine = owner == i
        batches.append(
            Batch(
                hours,
                moistures[mine],
                notes,
                seen,
                world["gap"],
                random.normal(0, 0.003),
                random.normal(0, 0.002, mine.sum()),
                bool(i % 2),
                1 / (DENSITY * world["half"]),
            )
        )
    return batches


def _world(random) -> dict:
    return {
        "first": random.uniform(0.22, 0.33),
        "half": random.uniform(0.022, 0.040),
        "diffusivity": np.exp(random.uniform(np.log(0.8e-9), np.log(5e-9))) * 3600,
        "swell": random.uniform(-4.0, 8.0),
        "sorption": random.uniform(0.008, 0.018),
        "film": random.uniform(5, 16),
        "spread": random.uniform(0.08, 0.25),
        "temperature": random.uniform(12, 32),
        "humidity": random.uniform(0.40, 0.80),
        "swing": random.uniform(3, 8),
        "gap": float(random.choice([8.0, 12.0, 24.0])),
    }


def _weather(random, world, steps):
    hours = np.arange(steps) * STEP
    days = int(HORIZON / 24) + 2
    slow = np.zeros(days)
    for day in range(1, days):
        slow[day] = 0.6 * slow[day - 1] + 0.8 * random.standard_normal()
    drift = np.interp(hours / 24, np.arange(days), slow)
    sun = np.sin(2 * np.pi * (hours - 9) / 24)
    temperature = world["temperature"] + world["swing"] * sun - 1.5 * drift
    humidity = world["humidity"] - 0.018 * world["swing"] * sun + 0.09 * drift
    return temperature, np.clip(humidity, 0.15, 0.98)


def _pull(temperature, humidity):
    """p_sat(T_wet bulb) - p_v in Pa: Magnus and Stull 2011, apart from the program's library."""
    rh = 100 * humidity
    wet = (
        temperature * np.arctan(0.151977 * np.sqrt(rh + 8.313659))
        + np.arctan(temperature + rh)
        - np.arctan(rh - 1.676331)
        + 0.00391838 * rh**1.5 * np.arctan(0.023101 * rh)
        - 4.686035
    )
    return np.maximum(66.0 * (temperature - np.minimum(wet, temperature)), 0.0)


def _dry(first, film, half, diffusivity, swell, sorption, pull, humidity):
    count, steps = first.size, pull.shape[1]
    x = np.repeat(first[:, None], NODES, axis=1)
    dz = half / NODES
    transfer = 3600 * film / (66.0 * 2.45e6)  # kg/(m2 h Pa)
    kept = np.empty((count, int(HORIZON)))
    every = int(1 / STEP)
    for step in range(steps):
        if step % every == 0:
            kept[:, step // every] = x.mean(axis=1)
        activity = 1 - np.exp(-np.maximum(x[:, -1], 0) / sorption)
        rh = humidity[:, step]
        flux = transfer * pull[:, step] * (activity - rh) / (1 - rh)
        most = 0.3 * np.maximum(x[:, -1], 0.0) * DENSITY * dz / STEP
        flux = np.clip(flux, -most - 0.002, most)
        between = (x[:, 1:] + x[:, :-1]) / 2
        conduct = diffusivity[:, None] * np.exp(swell[:, None] * (between - 0.15))
        conduct = conduct * STEP / dz[:, None] ** 2
        right = x.copy()
        right[:, -1] -= flux * STEP / (DENSITY * dz)
        x = _tridiagonal(conduct, right)
    return kept


def _tridiagonal(conduct, right):
    """Solve (I + K) x = right for chains of cells, all chains at once."""
    n = right.shape[1]
    diagonal = np.ones_like(right)
    diagonal[:, :-1] += conduct
    diagonal[:, 1:] += conduct
    upper, value = np.empty_like(right), np.empty_like(right)
    upper[:, 0] = -conduct[:, 0] / diagonal[:, 0]
    value[:, 0] = right[:, 0] / diagonal[:, 0]
    for i in range(1, n):
        low = -conduct[:, i - 1]
        pivot = diagonal[:, i] - low * upper[:, i - 1]
        upper[:, i] = -conduct[:, i] / pivot if i < n - 1 else 0.0
        value[:, i] = (right[:, i] - low * value[:, i - 1]) / pivot
    for i in range(n - 2, -1, -1):
        value[:, i] -= upper[:, i] * value[:, i + 1]
    return value
