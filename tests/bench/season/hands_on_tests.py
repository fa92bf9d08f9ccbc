"""Hands on bricks under test: take, dry, soak, boil, break, look."""

from datetime import timedelta

from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import filled
from tests.bench.season.specimens import Specimen
from tests.bench.season.world import BRICK

nothing_to_write("lever-drops", "boiling-water", "weigh-again-on-test")

SPAN = 0.18
DAY = timedelta(days=1)


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
