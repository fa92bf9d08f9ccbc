"""A maker who follows fixed times, in the same world: no notebook, no asking.

One sand to four of clay (Tappan, Diggers in the Earth, 1916: one to three or four); a mould a
twelfth larger than the brick; fourteen days under cover (Tekno Tulong brickmaking note: two weeks
in the dry season, four in the rains); a whole kiln fired by the clock, 48 h from a small fire to
the end of full fire (Harris, Lexicon Technicum, 1723: about 48 h; Chambers's Encyclopaedia: 40 to
60 h), then shut for two days (small kilns: one to two and more, their owners). The fire is kept as
a stoker keeps it, who looks at its glow every half hour and puts on a little more or less.
"""

import numpy as np

from tests.bench.season.fire import PLACES
from tests.bench.season.specimens import Specimen

SAND = 0.2
DRYING_DAYS = 14
ALLOWED, LEAST = 1.2, 50
"""A fifth more than is lacking, for losses, and never a fire for fewer than fifty bricks."""
FIRE_HOURS = 48.0
SHUT_HOURS = 48.0
CURVE = ((0, 20), (10, 120), (18, 350), (30, 700), (46, 950), (48, 950))
"""h and degC that the stoker has in mind, at the place he sees."""
EYE = 40.0
"""K that a stoker's eye is out by; a glow is seen from 500 degC on, before that the hand tells."""


class Handbook:
    """One season by the handbook, in a world of the same seed."""

    def __init__(self, world, needed):
        self.world, self.needed = world, needed
        self.loads = []

    def play(self, most=6):
        """Mould what is lacking, dry, fire, sort by ring; until there are enough."""
        world = self.world
        world.sand["handbook"] = SAND
        while self.lacking() > 0 and len(self.loads) < most:
            count = max(LEAST, int(np.ceil(ALLOWED * self.lacking())))
            name = f"batch-{len(self.loads) + 1}"
            world.night()
            world.now = world.moment(world.hour() + 10 * count / 300)
            world.mould(name, "handbook", count)
            world.now = world.moment(world.hour() + 24 * DRYING_DAYS)
            world.night()
            if "kiln" not in world.kilns:
                world.build_kiln("kiln", min(count, 400))
            self.fire(name, min(count, world.kilns["kiln"].bricks))
        return self

    def rung(self):
        """Bricks that came out sound, as ring and eye sort them."""
        return sum(counts["sound"] for load in self.loads for counts, _ in load.came.values())

    def lacking(self):
        return self.needed - self.rung()

    def fire(self, batch, count):
        world = self.world
        name = f"firing-{len(self.loads) + 1}"
        counts = {PLACES[0]: count // 2, PLACES[1]: count - count // 2}
        world.set_bricks(name, "kiln", batch, counts)
        load = world.fires[name]
        load.light()
        self.loads.append(load)
        self.stoke(load)
        load.now().seal()
        world.now = world.moment(world.hour() + SHUT_HOURS)
        load.now().open()
        world.now = world.moment(world.hour() + 12)
        load.now()
        load.unload()

    def stoke(self, load):
        """Every half hour a little more or a little less, by the glow; full fire by the clock."""
        world, begun = self.world, self.world.hour()
        ware = load.fire.kiln.bricks * load.fire.kiln.brick_mass
        charge, out = 0.002 * ware, world.rng.normal(0, EYE)
        while world.hour() - begun < FIRE_HOURS:
            hours = world.hour() - begun
            seen = load.fire.kiln.gas.mean() + (out if hours > 20 else 0.3 * out)
            wanted, soon = np.interp([hours, hours + 1], *zip(*CURVE, strict=True))
            short = (soon - seen) / max(30.0, wanted)
            charge = float(np.clip(charge * (1 + short), 0.0005 * ware, 0.05 * ware))
            load.feed(charge if seen < soon + 40 else 0.0, 2, 0.4)
            world.now = world.moment(world.hour() + 0.5)
            load.now()

    def fit_share(self):
        """Of all bricks set in a kiln, those that are truly fit for the wall."""
        world = self.world
        heats = [(load, heat) for load in self.loads for heat in load.heats()]
        fit = sum(Specimen(world, load, heat).fit for load, heat in heats)
        return fit / sum(sum(load.counts.values()) for load in self.loads)
