"""A lumped updraught kiln: a fire, a hot and a cold place, walls, a flue, a fan.

Wood on the grate dies away as it burns; its gas passes the hot place, then the cold one, giving
heat to bricks and walls by a film that grows with temperature; what is left leaves by the flue.
Nothing of the program is used but the heat of the gas.
"""

from dataclasses import dataclass

import numpy as np

AIR_CP = 1.08e-3  # MJ/(kg K) of flue gas
STOICHIOMETRIC = 4.73  # kg of air for each kg of wood at 20 % water


@dataclass
class Kiln:
    """One kiln as drawn; masses kg, heat MJ, temperatures degC, time h."""

    bricks: int
    brick_mass: float
    hot_share: float
    wall_mass: float
    wall_loss: float  # MJ/(h K)
    bed_time: float  # h
    value: float  # MJ/kg
    burns_out: float
    ratio: float  # air over air needed
    leak: float  # kg/h of air that comes in whatever is done
    film: float  # W/(m2 K)
    face: float  # m2 a brick
    air: float
    water: float  # of dry mass

    def __post_init__(self):
        self.temperature = np.array([self.air, self.air], float)  # ware, hot and cold
        self.wall = self.air
        self.bed = 0.0
        self.gas = self.temperature.copy()
        self.wet = np.full(2, self.water)

    @property
    def masses(self):
        hot = self.bricks * self.brick_mass * self.hot_share
        return np.array([hot, self.bricks * self.brick_mass - hot])

    def step(self, hours, wood=0.0):
        """Burn for a short time after wood was put on; the gas at both places is updated."""
        self.bed += wood
        burnt = self.bed * (1 - np.exp(-hours / self.bed_time))
        self.bed -= burnt
        flow = (burnt * STOICHIOMETRIC * self.ratio + burnt) / hours + self.leak  # kg/h
        heat = burnt / hours * self.value * self.burns_out
        carries = flow * AIR_CP
        gas = self.air + heat / carries
        count = np.array([self.hot_share, 1 - self.hot_share]) * self.bricks
        for i in (0, 1):
            film = self.film * (1 + ((self.temperature[i] + 273) / 750) ** 3)
            wall_film = 0.15 * film
            give = count[i] * self.face * film * 3600e-6
            give_wall = count[i] * self.face * wall_film * 3600e-6
            base = (give * self.temperature[i] + give_wall * self.wall) / (give + give_wall)
            out = base + (gas - base) * np.exp(-(give + give_wall) / carries)
            mean = base + (gas - out) * carries / (give + give_wall)
            to_ware = give * (mean - self.temperature[i])
            to_wall = give_wall * (mean - self.wall)
            self._warm(i, to_ware, hours)
            self.wall += to_wall * hours / (self.wall_mass * 1.0e-3)
            # the probe sees the gas and, by radiation, the bricks about it
            self.gas[i] = 0.7 * mean + 0.3 * self.temperature[i]
            gas = out
        self.wall -= self.wall_loss * (self.wall - self.air) * hours / (self.wall_mass * 1.0e-3)

    def _warm(self, i, heat, hours):
        mass, t = self.masses[i], self.temperature[i]
        boils = self.wet[i] * np.exp(5000 / 373.15 - 5000 / (t + 273.15)) * hours
        boils = min(boils, self.wet[i])
        self.wet[i] -= boils
        bound = 0.06 * np.exp(-(((t - 520) / 60) ** 2)) * 5.0 / 106  # spread about 520 degC
        capacity = mass * (1.05e-3 + bound)
        self.temperature[i] += (heat * hours - mass * boils * 2.5) / capacity


def drawn_kiln(rng):
    """A kiln such as makers build: 150 to 900 bricks, good and bad walls, dry and damp wood."""
    bricks = int(rng.uniform(150, 900))
    mass = rng.uniform(2.0, 2.8)
    value = rng.uniform(12.5, 15.5)
    ware = bricks * mass
    return Kiln(
        bricks=bricks,
        brick_mass=mass,
        hot_share=rng.uniform(0.4, 0.6),
        wall_mass=ware * rng.uniform(0.4, 1.2),
        wall_loss=ware * rng.uniform(3e-5, 9e-5),
        bed_time=rng.uniform(0.15, 0.4),
        value=value,
        burns_out=rng.uniform(0.9, 0.98),
        ratio=rng.uniform(1.4, 2.0),
        leak=ware * rng.uniform(0.01, 0.04),
        film=rng.uniform(15, 30),
        face=rng.uniform(0.08, 0.10),
        air=rng.uniform(0, 30),
        water=rng.uniform(0.01, 0.02),
    )
