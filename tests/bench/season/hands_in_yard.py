"""Hands in the yard: builds, kilns, moulding, weighing, and what is read of the weather."""

import re
from datetime import timedelta

from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import BLANK, filled
from tests.bench.season.world import BRICK

nothing_to_write("ready-soon", "fire-more")


@hand("first-build")
def first_build(world, action, notes):
    """A garden wall, one brick thick lengthwise, that stands in the damp."""
    mm = [f'"{1000 * side:.0f} mm"' for side in BRICK]
    yield filled(
        action.log,
        "wall",
        "wall",
        f'"{world.length:.1f} m"',
        f'"{world.height:.1f} m"',
        "damp",
        *mm,
    )


@hand("first-kiln", "larger-kiln")
def kiln(world, action, notes):
    world.pass_time(timedelta(days=3))
    bricks = int(action.numbers["bricks"][0])
    name = f"kiln-{bricks}"
    world.build_kiln(name, bricks)
    yield filled(action.log, name, "sand", "updraught", *world.kiln_sides(bricks), "0.25")


@hand("dry-the-kiln")
def dry_kiln(world, action, notes):
    world.night()
    world.pass_time(timedelta(hours=6))
    yield action.log


@hand("measure-lean")
def lean(world, action, notes):
    yield filled(action.log, "5")


@hand("size-the-mould")
def mould(world, action, notes):
    """The mould is made; its size is written with the batch."""
    world.mould_size = tuple(
        action.numbers[side][0] / 1000 for side in ("length", "width", "height")
    )
    return ()


@hand("prove-with-fifty", "mould-more")
def mould_bricks(world, action, notes):
    world.night()
    count = int(action.numbers["bricks"][0])
    name = f"batch-{len(world.batches) + 1}"
    world.pass_time(timedelta(hours=10 * count / 300))
    mix = action.entry.partition("/")[2]
    world.mould(name, mix, count)
    blanks = [f"{1000 * side:.0f}" for side in world.mould_size or world.mould_by_eye()]
    yield filled(
        action.log, name, f'"{world.now:%Y-%m-%d %H:%M}"', *blanks[: action.log.count(BLANK) - 2]
    )


@hand("mark-bricks")
def mark(world, action, notes):
    batch = world.batch(action.entry)
    head, _, row = action.log.partition(" marked.1=")
    rows = (
        f"marked.{n + 1}={filled(row, '150', f'{world.scale(batch.mass(n), 0.01):.2f}')}"
        for n in range(3)
    )
    yield " ".join([head, *rows])


@hand("dry-a-piece")
def piece(world, action, notes):
    batch = world.batch(action.entry)
    wet = 0.5
    dry = wet / (1 + float(batch.moisture().mean()))
    world.pass_time(timedelta(days=1))
    yield filled(action.log, f'"{1000 * wet:.0f} g"', f'"{1000 * dry:.0f} g"')


@hand("weigh", "weigh-again")
def weigh(world, action, notes):
    world.night()
    batch = world.batch(action.entry)
    named = re.findall(r"#(\d+)", action.log)
    yield filled(action.log, *(f"{world.scale(batch.mass(int(n) - 1), 0.01):.2f}" for n in named))


@hand("dry-slower")
def cover(world, action, notes):
    world.batch(action.entry).open = 0.5
    yield action.log


@hand("dry-faster")
def turn(world, action, notes):
    world.batch(action.entry).open = 1.3
    yield action.log


@hand("fire-batch", "as-dry-as-air")
def plan(world, action, notes):
    world.pass_time(timedelta(hours=4))
    name = f"firing-{len(world.fires) + 1}"
    wood = ("split ash",) if action.log.count(BLANK) == 4 else ()
    kiln = re.search(r"kiln=([\w-]+)", action.log)[1]
    world.set_bricks(name, kiln, action.entry.partition("/")[2], count_of(action.log))
    yield filled(action.log, name, "20", *wood, f"{world.wood_water:.0f}")


def count_of(line):
    """Bricks by place in the load of a line."""
    return {place: int(n) for n, place in re.findall(r'count = (\d+), place = "(\w+)"', line)}
