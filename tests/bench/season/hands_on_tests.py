"""Hands on bricks under test: take, dry, soak, boil, break, look."""

from datetime import timedelta

from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import BLANK, filled, round_of
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
    bricks = bricks_of(world, action)
    yield round_of(
        action.log, bricks,
        lambda n: (bricks[n].ring, bricks[n].scratch, f"{world.scale(bricks[n].dry):.3f}"),
    )  # fmt: skip


@hand("dry-and-weigh")
def dry(world, action, notes):
    world.pass_time(DAY)
    bricks = bricks_of(world, action)
    yield round_of(action.log, bricks, lambda n: (f"{world.scale(bricks[n].dry):.3f}",))


@hand("start-soak", "start-boil")
def began(world, action, notes):
    yield action.log


@hand("end-soak")
def soaked(world, action, notes):
    """Past its hour the line asks for how long they lay, beside their masses."""
    bricks = bricks_of(world, action)
    line = action.log if BLANK in action.log else "#1 soaked … kg"
    yield round_of(line, bricks, lambda n: (f"{world.scale(bricks[n].soaked):.3f}",))
    if line != action.log:
        yield action.log


@hand("end-boil")
def boiled(world, action, notes):
    bricks = bricks_of(world, action)
    yield round_of(action.log, bricks, lambda n: (f"{world.scale(bricks[n].boiled):.3f}",))


@hand("break-five")
def broken(world, action, notes):
    world.pass_time(DAY)
    bricks = bricks_of(world, action)
    yield round_of(action.log, bricks, lambda n: breaking(bricks[n]))


def breaking(brick):
    """Span, load, width and height, as a line asks for them."""
    _, width, height = BRICK
    newton = brick.bending * 1e6 * 2 * width * height**2 / (3 * SPAN)
    return (
        f"{1000 * SPAN:.0f}", f"{newton:.0f}", f"{1000 * width:.0f}", f"{1000 * height:.0f}",
    )  # fmt: skip
