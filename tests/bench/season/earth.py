"""A simulated clay: how it shrinks, dries, hardens and bends. Nothing of the program is in it.

All numbers are ours, drawn wide about what field guides give for brick clays.
"""

from dataclasses import dataclass

import numpy as np

GREEN_DENSITY = 1750.0  # kg/m3 of dry clay in a dried brick
MARK = 150.0  # mm between two scratched lines


@dataclass(frozen=True)
class Earth:
    """A clay as it lies in the ground, and what sand does to it."""

    fat: float  # % linear drying shrinkage without sand
    water: float  # of plasticity, of the dry mass, without sand
    limy: bool
    lump: float  # mm, the largest lump of lime
    hardens: float  # degC of one hour from which a brick rings
    bends: float  # degC of one hour from which it bends
    absorption: float  # % in 24 h cold water at 900 degC
    closes: float  # %/K
    strength: float  # MPa in bending at 900 degC
    strengthens: float  # MPa/K
    firing_shrinkage: float  # % at 900 degC
    shrinks_on: float  # %/K
    scatter: float  # of strength from brick to brick
    weak: float  # K, stress by an uneven heat that one brick in a hundred does not stand
    loss: float  # % on ignition

    def drying_shrinkage(self, sand):
        """% linear, with so much of the dry mass sand."""
        return self.fat * (1 - 1.5 * sand)

    def first_water(self, sand):
        return self.water * (1 - 0.9 * sand)

    def coil(self):
        """mm of a hanging coil."""
        return 20 * self.fat - 20

    def mends(self, heat):
        """How hard it is at a heat-work [degC], as a share between raw and rung."""
        return 1 / (1 + np.exp(-(heat - self.hardens) / 15))

    def absorbs(self, heat, sand):
        """%, of the fired mass."""
        return max(3.0, self.absorption + 4 * sand - self.closes * (heat - 900))

    def bending(self, heat, sand):
        """MPa."""
        whole = max(0.3, self.strength + self.strengthens * (heat - 900)) * (1 - 0.8 * sand)
        return whole * self.mends(heat) + 0.3

    def fired_shrinkage(self, heat, sand):
        """% linear from dry to fired."""
        return max(0.1, (self.firing_shrinkage + self.shrinks_on * (heat - 900)) * (1 - sand))


def drawn_earth(rng):
    """A clay such as makers find: some fat, some lean, some with lime."""
    fat = rng.uniform(5.0, 10.0)
    return Earth(
        fat=fat,
        water=0.18 + 0.011 * fat + rng.uniform(-0.015, 0.015),
        limy=bool(rng.uniform() < 0.25),
        lump=rng.uniform(1.0, 4.0),
        hardens=rng.uniform(840, 900),
        bends=rng.uniform(1070, 1150),
        absorption=rng.uniform(13, 18),
        closes=rng.uniform(0.015, 0.05),
        strength=rng.uniform(3.0, 6.0),
        strengthens=rng.uniform(0.01, 0.03),
        firing_shrinkage=rng.uniform(0.5, 1.5),
        shrinks_on=rng.uniform(0.004, 0.015),
        scatter=rng.uniform(0.10, 0.20),
        weak=rng.uniform(45, 80),
        loss=rng.uniform(4, 8),
    )
