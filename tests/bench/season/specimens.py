"""A fired brick as it truly is."""

NEEDED = 0.7
"""MPa in bending that a brick truly needs to be fit: a fifth of 3.5 MPa in crushing."""
MOST_WATER = 20.0
"""% that it may take up."""


class Specimen:
    """One brick of a load, by the heat-work it had."""

    def __init__(self, world, load, heat):
        rng, earth, sand = world.rng, world.earth, load.batch.sand
        self.dry = load.batch.dry_mass.mean() * (1 - earth.loss / 100) * (1 + 0.01 * rng.normal())
        takes = earth.absorbs(heat, sand) + 0.4 * rng.normal()
        self.soaked = self.dry * (1 + takes / 100)
        self.boiled = self.dry * (1 + takes / 0.8 / 100)
        self.bending = earth.bending(heat, sand) * max(0.4, 1 + earth.scatter * rng.normal())
        self.ring = "clear" if self.bending > 1.2 else "dull"
        self.scratch = "none" if self.bending > 1.2 else "deep" if self.bending < 0.7 else "light"
        self.fit = self.bending >= NEEDED and takes <= MOST_WATER
