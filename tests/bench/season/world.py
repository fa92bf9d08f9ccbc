"""All that lies behind the notebook: the earth, the yard, the kiln, the bricks, the clock."""

from copy import deepcopy
from datetime import UTC, datetime, timedelta

import numpy as np

from tests.bench.season.earth import drawn_earth
from tests.bench.season.fire import PLACES, Fire, TameFire, built_kiln, came_out
from tests.bench.season.specimens import Specimen
from tests.bench.season.yard import Drying, Yard

START = datetime(2026, 4, 1, 8, tzinfo=UTC)
BRICK = (0.230, 0.110, 0.070)
"""m: the brick that is wanted, fired."""


LOOKS = {
    "cracked": "cracked with rounded edges",
    "soft": "soft and pale",
    "overfired": "bent",
    "lost": "burst",
}
"""What a spoilt brick shows."""


class World:
    """One maker's place in one season."""

    def __init__(self, seed, *, tame=False):
        self.seed, self.tame = seed, tame
        self.rng = np.random.default_rng(seed)
        self.earth = drawn_earth(self.rng)
        self.yard = Yard(self.rng)
        self.now = START
        self.kilns = {}
        self.wood_water = self.rng.uniform(14, 22)
        self.batches = {}
        self.fires = {}
        self.sand = {}  # mix -> share of its dry mass that is sand
        self.bars = {}
        self.mould_size = None
        self.bricks = {}  # test -> heats of the bricks taken
        self.came = {}  # firing -> place -> heats of the sound ones
        self.length = float(self.rng.uniform(3, 7))
        self.height = float(self.rng.uniform(0.6, 1.0))

    def hour(self, moment=None):
        return ((moment or self.now) - START).total_seconds() / 3600

    def moment(self, hour):
        return START + timedelta(hours=hour)

    def pass_time(self, span):
        self.now += span

    def wait_until(self, moment):
        self.now = max(self.now, moment)

    def fit_share(self, loads):
        """Of all bricks set in a kiln, those that are sound and truly fit for a wall."""
        heats = [(load, heat) for load in loads for heat in load.heats()]
        fit = sum(Specimen(self, load, heat).fit for load, heat in heats)
        return fit / max(1, sum(sum(load.counts.values()) for load in loads))

    def burning(self):
        """The firings that are lit and not yet sealed."""
        return [n for n, load in self.fires.items() if load.fire and not load.fire.sealed]

    def night(self):
        """Work that is not at the fire waits for the morning."""
        if self.now.hour >= 20 or self.now.hour < 6:
            morning = self.now.replace(hour=7, minute=0, second=0, microsecond=0)
            self.now = morning + timedelta(days=1 if self.now.hour >= 20 else 0)

    def scale(self, kilograms, step=0.001):
        return round(kilograms * (1 + 0.001 * self.rng.standard_normal()) / step) * step

    def mould(self, name, mix, count):
        sides = self.mould_size or self.mould_by_eye()
        batch = Drying(self.yard, self.hour(), self.earth, self.sand[mix], sides, 3)
        batch.count, batch.name = count, name
        self.batches[name] = batch

    def mould_by_eye(self):
        """m: what a maker takes who knows no shrinkage."""
        return tuple(1.08 * side for side in BRICK)

    def build_kiln(self, name, bricks):
        """Walls, draught and wood as they come."""
        self.kilns[name] = built_kiln(self.rng, bricks, 15.0)

    def kiln_sides(self, bricks):
        """m, inside, for so many bricks with room between them for the flame."""
        volume = bricks * BRICK[0] * BRICK[1] * BRICK[2] * 1.7
        side = round((volume / 1.2) ** (1 / 3), 2)
        return side, side, round(1.2 * side, 2)

    def batch(self, address):
        """The bricks behind an entry, as they are now."""
        batch = self.batches[address.partition("/")[2]]
        batch.until(self.hour())
        return batch

    def set_bricks(self, firing, kiln, batch, counts):
        """Bricks are set in the kiln, and cold until it is lit."""
        self.fires[firing] = Load(self, self.kilns[kiln], self.batch("batches/" + batch), counts)


class Load:
    """Bricks in the kiln: before, while and after it burns."""

    def __init__(self, world, kiln, batch, counts):
        self.world, self.kiln, self.batch, self.counts = world, kiln, batch, counts
        self.fire = None
        self.feeds = []
        self.put = []
        self.came = {}

    def light(self):
        world, batch = self.world, self.batch
        air, _ = world.yard.at(world.hour())
        kiln = deepcopy(self.kiln)
        kiln.bricks, kiln.brick_mass = sum(self.counts.values()), float(batch.dry_mass.mean())
        kiln.hot_share = self.counts.get("bottom", 1) / kiln.bricks
        kiln.air = kiln.wall = air
        wet = np.sort(batch.moisture())
        kiln.water = float(wet.mean())
        kiln.__post_init__()
        # the wettest went where heat comes last
        waters = float(wet[0]), float(wet[-1])
        fire = TameFire if world.tame else Fire
        self.fire = fire(world.rng, kiln, 2 * float(batch.half.mean()), world.hour(), waters)

    def now(self):
        """The fire as it burns by now, with what was put on it."""
        hour = self.world.hour()
        due = [feed for feed in self.feeds if feed[0] <= hour]
        self.feeds = [feed for feed in self.feeds if feed[0] > hour]
        self.fire.until(hour, due)
        self.put += due
        return self.fire

    def feed(self, wood, times, hours):
        """So much wood in so many feeds over the hours to come, by about as much as was asked."""
        hour = self.world.hour()
        self.feeds = []
        for i in range(times):
            given = wood / times * self.world.rng.uniform(0.93, 1.07)
            self.feeds.append((hour + 0.02 + i * hours / times, given))

    def take_put(self):
        """Hour and kg of what was put on since it was last written down, as of its middle."""
        put, self.put = [feed for feed in self.put if feed[1] > 0], []
        wood = sum(kilograms for _, kilograms in put)
        return (sum(h * kg for h, kg in put) / wood, wood) if wood else (0.0, 0.0)

    def unload(self):
        for place, slab in zip(PLACES, self.fire.inside, strict=True):
            self.came[place] = came_out(
                self.world.rng, self.world.earth, self.batch.sand, slab,
                self.counts.get(place, 0), self.batch.cracked_share(),
            )  # fmt: skip
        return {place: counts for place, (counts, _) in self.came.items()}

    def looks(self):
        """What most of the spoilt ones show to the eye."""
        inside = self.fire.inside
        total = {name: sum(c[name] for c, _ in self.came.values()) for name in LOOKS}
        worst = max(total, key=total.get)
        chilled = max(slab.chill for slab in inside) * 1.6 > max(slab.stress for slab in inside)
        return "cracked with sharp edges" if worst == "cracked" and chilled else LOOKS[worst]

    def heats(self):
        """Heat-work of every sound brick."""
        return [heat for _, sound in self.came.values() for heat in sound]
