"""Hands on bricks under test: take, dry, soak, boil, break, look."""

from datetime import timedelta

from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import filled
from tests.bench.season.world import BRICK

nothing_to_write("lever-drops", "boiling-water", "weigh-again-on-test")

SPAN = 0.18
DAY = timedelta(days=1)


class Specimen:
    """A fired brick, as it truly is."""

    def __init__(self, world, load, heat):
        rng, earth, sand = world.rng, world.earth, load.batch.sand
        self.dry = load.batch.dry_mass.mean() * (1 - earth.loss / 100) * (1 + 0.01 * rng.normal())
        takes = earth.absorbs(heat, sand) + 0.4 * rng.normal()
        self.soaked = self.dry * (1 + takes / 100)
        self.boiled = self.dry * (1 + takes / 0.8 / 100)
        self.bending = earth.bending(heat, sand) * max(0.4, 1 + earth.scatter * rng.normal())
        self.ring = "clear" if self.bending > 1.2 else "dull"
        self.scratch = "none" if self.bending > 1.2 else "deep" if self.bending < 0.7 else "light"
        self.fit = self.bending >= NEEDED and takes <= 20


NEEDED = 0.7
"""MPa in bending that a brick truly needs to be fit: a fifth of 3.5 MPa in crushing."""


def bricks_of(world, action):
    return world.bricks[action.entry]


@hand("test-bricks")
def begin(world, action, notes):
    name = f"test-{len(world.bricks) + 1}"
    load = world.fires[action.entry.partition("/")[2]]
    heats = load.heats()
    taken = world.rng.choice(len(heats), size=5, replace=False)
    world.bricks[f"tests/{name}"] = {
        str(i + 1): Specimen(world, load, heats[k]) for i, k in enumerate(taken)
    }
    yield filled(action.log, name)


@hand("take-five")
def take(world, action, notes):
    world.pass_time(DAY)
    for name, brick in bricks_of(world, action).items():
        line = action.log.replace("#1", f"#{name}")
        yield filled(line, brick.ring, brick.scratch, f"{world.scale(brick.dry):.3f}")


@hand("dry-and-weigh")
def dry(world, action, notes):
    world.pass_time(DAY)
    for name, brick in bricks_of(world, action).items():
        yield filled(action.log.replace("#1", f"#{name}"), f"{world.scale(brick.dry):.3f}")


@hand("start-soak", "start-boil")
def began(world, action, notes):
    yield action.log


@hand("end-soak")
def soaked(world, action, notes):
    for name, brick in bricks_of(world, action).items():
        yield filled(action.log.replace("#1", f"#{name}"), f"{world.scale(brick.soaked):.3f}")


@hand("end-boil")
def boiled(world, action, notes):
    for name, brick in bricks_of(world, action).items():
        yield filled(action.log.replace("#1", f"#{name}"), f"{world.scale(brick.boiled):.3f}")


@hand("break-five")
def broken(world, action, notes):
    world.pass_time(DAY)
    for name, brick in bricks_of(world, action).items():
        _, width, height = BRICK
        newton = brick.bending * 1e6 * 2 * width * height**2 / (3 * SPAN)
        yield filled(
            action.log.replace("#1", f"#{name}"),
            f"{1000 * SPAN:.0f}", f"{newton:.0f}", f"{1000 * width:.0f}", f"{1000 * height:.0f}",
        )  # fmt: skip
