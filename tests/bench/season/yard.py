"""A simulated yard: its weather, and bricks that dry in it by diffusion, hour by hour."""

import numpy as np

from tests.bench import diffusion
from tests.bench.season.earth import GREEN_DENSITY, MARK

STEP = 1.0  # h
NODES = diffusion.NODES


class Yard:
    """The air of one season, and the drying of whatever lies in it."""

    def __init__(self, rng, days=240):
        self.rng = rng
        self.site = diffusion._world(rng)
        steps = int(days * 24 / diffusion.STEP)
        temperature, humidity = diffusion._weather(rng, self.site, steps)
        every = int(STEP / diffusion.STEP)
        self.temperature, self.humidity = temperature[::every], humidity[::every]
        self.pull = diffusion._pull(self.temperature, self.humidity)

    def at(self, hour):
        i = min(int(hour), len(self.temperature) - 1)
        return self.temperature[i], 100 * self.humidity[i]


class Drying:
    """The marked bricks of one batch, each with its own film, from the hour it was moulded."""

    def __init__(self, yard, hour, earth, sand, sides, count):
        self.yard, self.hour, self.earth, self.sand, self.sides = yard, hour, earth, sand, sides
        rng, site = yard.rng, yard.site
        self.first = earth.first_water(sand) + 0.006 * rng.standard_normal(count)
        film = site["film"] * np.exp(site["spread"] * rng.standard_normal(count))
        film[0] *= 0.7  # one stands in the middle of the stack
        self.film = film
        self.open = 1.0
        dried = 1 - earth.drying_shrinkage(sand) / 100
        self.half = np.full(count, min(sides) / 2 * dried)
        self.x = np.repeat(self.first[:, None], NODES, axis=1)
        self.fastest = 0.0  # %/h while it still shrank
        self.dry_mass = (
            np.prod(sides) * dried**3 * GREEN_DENSITY * np.exp(0.01 * rng.standard_normal(count))
        )

    @property
    def stops(self):
        """Moisture at which shrinking stops."""
        return 0.45 * self.first

    def until(self, hour):
        """Let it dry."""
        while self.hour + STEP <= hour:
            before = self.moisture()
            self._step(min(int(self.hour), len(self.yard.pull) - 1))
            self.hour += STEP
            shrinking = before > self.stops
            if shrinking.any():
                rate = 100 * (before - self.moisture())[shrinking] / STEP
                self.fastest = max(self.fastest, float(rate.max()))

    def _step(self, i):
        pull, rh = self.yard.pull[i], self.yard.humidity[i]
        x, dz = self.x, (self.half / NODES)
        transfer = 3600 * self.film * self.open / (66.0 * 2.45e6)
        site = self.yard.site
        activity = 1 - np.exp(-np.maximum(x[:, -1], 0) / site["sorption"])
        flux = transfer * pull * (activity - rh) / (1 - rh)
        most = 0.3 * np.maximum(x[:, -1], 0.0) * diffusion.DENSITY * dz / STEP
        flux = np.clip(flux, -most - 0.002, most)
        between = (x[:, 1:] + x[:, :-1]) / 2
        conduct = site["diffusivity"] * np.exp(site["swell"] * (between - 0.15))
        conduct = conduct * STEP / dz[:, None] ** 2
        right = x.copy()
        right[:, -1] -= flux * STEP / (diffusion.DENSITY * dz)
        self.x = diffusion._tridiagonal(conduct, right)

    def moisture(self):
        """Mean of each brick, of the dry mass."""
        return self.x.mean(axis=1)

    def mass(self, i):
        """kg."""
        return float(self.dry_mass[i] * (1 + self.moisture()[i]))

    def marks(self, i):
        """mm between the scratched lines."""
        first, stop, now = self.first[i], self.stops[i], self.moisture()[i]
        done = np.clip((first - now) / (first - stop), 0, 1)
        return MARK * (1 - self.earth.drying_shrinkage(self.sand) / 100 * done)

    def cracked_share(self):
        """Of the batch, by drying: too fat a body, or water gone too fast."""
        fat = max(0.0, self.earth.drying_shrinkage(self.sand) - 7.0) * 0.06
        fast = np.clip(self.fastest - 1.2, 0, 1) * 0.2
        return float(min(0.6, 0.005 + fat + fast))
