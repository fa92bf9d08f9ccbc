"""A simulated kiln with bricks in it: what the fire does at two places, brick by brick."""

from dataclasses import asdict, dataclass

import numpy as np

from tests.bench.kiln_model import AIR_CP, STOICHIOMETRIC, Kiln, drawn_kiln

MINUTE = 1 / 60
PLACES = ("bottom", "top")  # the hot one and the cold one, updraught
GAS = 8.314
ENERGY = 250e3  # J/mol of sintering: ours, near the middle of what is printed for clays
BOILING = 373.15


class Slab:
    """The inside of a brick at one place: heat and water, from the face to the middle."""

    CELLS = 6

    def __init__(self, rng, thickness, air, water):
        self.dx = thickness / 2 / self.CELLS
        # three pairs of faces let heat in where a slab has one
        self.alpha = rng.uniform(4.5e-7, 7.5e-7) * 1.4
        self.film = rng.uniform(15, 35)
        self.emits = rng.uniform(0.6, 0.9)
        self.dries = rng.uniform(1.0, 4.0)  # h at 100 degC in the core
        self.t = np.full(self.CELLS, air, float)
        self.w = np.full(self.CELLS, water)
        self.work = 0.0
        self.burst = 0.0  # worst of water left times how far above boiling, % x K
        self.stress = 0.0  # worst difference of mean and face on the way up, K
        self.chill = 0.0  # the same through quartz on the way down
        self.hottest = air

    def step(self, gas, hours):
        seconds, inner = (
            hours * 3600,
            max(1, int(np.ceil(hours * 3600 * 2.5 * self.alpha / self.dx**2))),
        )
        dt = seconds / inner
        for _ in range(inner):
            self._move(gas, dt)
        kelvin = self.t + 273.15
        rate = np.exp(5000 / BOILING - 5000 / kelvin) / self.dries
        self.w = self.w * np.exp(-rate * hours)
        core = self.t[0]
        self.work += hours * np.exp(-ENERGY / GAS * (1 / (core + 273.15) - 1 / 1173.15))
        self.burst = max(self.burst, 100 * self.w[0] * max(0.0, core - 105))
        uneven = self.t[-1] - self.t.mean()
        if self.t.mean() < 600:
            self.stress = max(self.stress, uneven)
        if 520 < self.t.mean() < 640:
            self.chill = max(self.chill, -uneven)
        self.hottest = max(self.hottest, self.t[-1])

    def _move(self, gas, dt):
        heat = 1.9e6  # J/(m3 K)
        hot, face = gas + 273.15, self.t[-1] + 273.15
        film = self.film + self.emits * 5.67e-8 * (hot**2 + face**2) * (hot + face)
        flow = np.zeros(self.CELLS + 1)
        flow[1:-1] = self.alpha * np.diff(self.t) / self.dx
        flow[-1] = film / heat * (gas - self.t[-1])
        self.t = self.t + dt * np.diff(flow) / self.dx

    def heat(self):
        """degC which, held for one hour, does the same work in the core."""
        if self.work <= 0:
            return 0.0
        return 1 / (1 / 1173.15 - GAS / ENERGY * np.log(self.work)) - 273.15


class Fire:
    """One firing in one kiln."""

    def __init__(self, rng, kiln, thickness, hour, waters):
        self.rng, self.kiln, self.begun, self.hour = rng, kiln, hour, hour
        self.inside = [Slab(rng, thickness, kiln.air, water) for water in waters]
        self.out = rng.uniform(-1, 1)  # how far the thermometer is out, of its tolerance
        self.sealed = False
        self.wood = 0.0
        self.curve = []

    def until(self, hour, feeds=()):
        """Burn on; `feeds` are pairs of hour and kg of wood."""
        feeds = sorted(feeds)
        while self.hour + MINUTE <= hour + 1e-9:
            put = 0.0
            while feeds and feeds[0][0] <= self.hour + 1e-9:
                put += feeds.pop(0)[1]
            self.wood += put
            self.kiln.step(MINUTE, put)
            self.hour += MINUTE
            for slab, gas in zip(self.inside, self.kiln.gas, strict=True):
                slab.step(gas, MINUTE)
            self.curve.append((self.hour - self.begun, *self.kiln.gas))

    def seal(self):
        """No draught any more: what air leaks in is little."""
        self.sealed = True
        self.kiln.leak *= 0.25
        self.kiln.bed = 0.0

    def open(self):
        self.kiln.leak *= 12

    def read(self, place):
        """degC, as the thermometer shows it."""
        true = self.kiln.gas[PLACES.index(place)]
        half = max(2.5, 0.0075 * true)
        return float(round(true + self.out * half + self.rng.normal(0, 0.7)))

    def asked(self, action):
        """A true kiln answers to wood alone."""


class TameFire(Fire):
    """A kiln that does at once what its maker wants, and whose bottom runs a little ahead."""

    AHEAD = 1.03
    COOLS = 14.0  # h

    def __init__(self, *args):
        super().__init__(*args)
        self.top, self.rate, self.reach, self.out = self.kiln.air, 0.0, np.inf, 0.0

    def asked(self, action):
        rise = action.action == "climb"
        self.rate = action.numbers["climb"][0] if rise else 0.0
        self.reach = action.numbers.get("reach", [np.inf])[0] if rise else np.inf

    def until(self, hour, feeds=()):
        while self.hour + MINUTE <= hour + 1e-9:
            if self.sealed:
                self.top -= (self.top - self.kiln.air) / self.COOLS * MINUTE
            else:
                self.top = max(self.top, min(self.top + self.rate * MINUTE, self.reach))
            self.kiln.gas[:] = self.AHEAD * self.top, self.top
            self.hour += MINUTE
            for slab, gas in zip(self.inside, self.kiln.gas, strict=True):
                slab.step(gas, MINUTE)
            self.curve.append((self.hour - self.begun, *self.kiln.gas))


@dataclass
class FilledKiln(Kiln):
    """A kiln whose walls take their heat however few bricks stand in it."""

    holds: int = 0

    def step(self, hours, wood=0.0):
        """As the kiln it is made of; the walls by the bricks it holds, not those set in it."""
        self.bed += wood
        burnt = self.bed * (1 - np.exp(-hours / self.bed_time))
        self.bed -= burnt
        carries = ((burnt * STOICHIOMETRIC * self.ratio + burnt) / hours + self.leak) * AIR_CP
        gas = self.air + burnt / hours * self.value * self.burns_out / carries
        shares = np.array([self.hot_share, 1 - self.hot_share])
        for i in (0, 1):
            film = self.film * (1 + ((self.temperature[i] + 273) / 750) ** 3) * self.face * 3600e-6
            give, give_wall = shares[i] * self.bricks * film, 0.15 * shares[i] * self.holds * film
            base = (give * self.temperature[i] + give_wall * self.wall) / (give + give_wall)
            out = base + (gas - base) * np.exp(-(give + give_wall) / carries)
            mean = base + (gas - out) * carries / (give + give_wall)
            self._warm(i, give * (mean - self.temperature[i]), hours)
            self.wall += give_wall * (mean - self.wall) * hours / (self.wall_mass * 1.0e-3)
            self.gas[i] = 0.7 * mean + 0.3 * self.temperature[i]
            gas = out
        self.wall -= self.wall_loss * (self.wall - self.air) * hours / (self.wall_mass * 1.0e-3)


def built_kiln(rng, bricks, air):
    """A kiln for so many bricks; walls, draught and wood as they come."""
    kiln = drawn_kiln(rng)
    ware = bricks * 2.4
    shares = kiln.wall_mass, kiln.wall_loss, kiln.leak
    old = kiln.bricks * kiln.brick_mass
    kiln.wall_mass, kiln.wall_loss, kiln.leak = (ware * share / old for share in shares)
    kiln.bricks, kiln.brick_mass, kiln.air = bricks, 2.4, air
    return FilledKiln(**asdict(kiln), holds=bricks)


def came_out(rng, earth, sand, slab, count, cracked_green=0.0):
    """Bricks of one place by how they came out, and the heat-work of each sound one."""
    heat = slab.heat()
    heats = heat + rng.normal(0, 8, count)
    hot = heats + max(0.0, slab.hottest - heat) * 0.5
    lost = rng.uniform(size=count) < np.clip((slab.burst - 8) / 60, 0.0, 0.9)
    limits = earth.weak * np.exp(0.25 * rng.standard_normal(count))
    cracked = (slab.stress > limits) | (1.6 * slab.chill > limits)
    cracked |= rng.uniform(size=count) < cracked_green + 0.01
    soft = rng.uniform(size=count) > earth.mends(heats)
    over = hot > earth.bends
    found = dict.fromkeys(("sound", "cracked", "soft", "overfired", "lost"), 0)
    sound = []
    for i in range(count):
        if lost[i]:
            found["lost"] += 1
        elif over[i]:
            found["overfired"] += 1
        elif cracked[i]:
            found["cracked"] += 1
        elif soft[i]:
            found["soft"] += 1
        else:
            found["sound"] += 1
            sound.append(float(heats[i]))
    return found, sound
