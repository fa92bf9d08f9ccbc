"""Hands on clay, trial bars and mixes."""

import re
from datetime import timedelta

from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import filled

DAY = timedelta(days=1)

nothing_to_write("mix-wet", "pit-sides", "acid-on-clay", "avoid-salts", "sieve-lime")


@hand("first-clay")
def dig(world, action, notes):
    world.pass_time(timedelta(hours=2))
    yield filled(action.log, "pit", action.numbers["depth"][0] + 0.1)


@hand("roll-a-coil")
def coil(world, action, notes):
    world.pass_time(timedelta(minutes=20))
    yield filled(action.log, f"{world.earth.coil():.0f}")


@hand("drop-of-acid")
def acid(world, action, notes):
    world.pass_time(timedelta(minutes=20))
    earth = world.earth
    if earth.limy:
        yield filled(action.log, "bubbles", f"{earth.lump:.1f}")
    else:
        yield filled(action.log.partition(" lime_lump")[0], "none")


@hand("sieve-lime")
def sieve(world, action, notes):
    world.pass_time(timedelta(hours=4))
    yield action.log


@hand("shake-a-jar")
def jar(world, action, notes):
    world.pass_time(DAY)
    clay = 2.5 + 3.5 * world.earth.fat
    sand = 70 - 0.7 * clay - 10
    yield filled(action.log, f"{sand:.0f}", f"{100 - sand - clay:.0f}", f"{clay:.0f}")


@hand("first-mix")
def first_mix(world, action, notes):
    world.sand["first"] = 0.0
    yield filled(action.log, "first", "40 l")


@hand("add-sand", "temper-more")
def add_sand(world, action, notes):
    """A mix with the sand that is asked for."""
    name = ("first", "second", "third", "fourth", "fifth")[len(world.sand)]
    parts = re.findall(r'(clay|temper) = "[^"]+", (?:mass|volume) = "([0-9.]+) ', action.log)
    whole = sum(float(amount) for _, amount in parts)
    world.sand[name] = sum(float(a) for kind, a in parts if kind == "temper") / whole
    yield filled(action.log, name)


def rows(template, table, first, names, fill):
    """A line for one row of a table, made into one for many: `fill(name)` gives its blanks."""
    words = template.split(" ")
    at = next(i for i, word in enumerate(words) if word.startswith(f"{table}.{first}"))
    head, part = " ".join(words[:at]), " ".join(words[at:])
    told = [
        filled(part.replace(f"{table}.{first}", f"{table}.{name}"), *fill(name)) for name in names
    ]
    return " ".join([head, *told])


class Bar:
    """A trial bar of 100 mm between its marks."""

    def __init__(self, world, sand):
        self.world, self.sand = world, sand
        noise = world.rng.standard_normal
        self.wet_mass = 160 + 3 * noise()
        self.dry_mass = self.wet_mass / (1 + world.earth.first_water(sand) + 0.004 * noise())
        self.dry = 100 * (1 - world.earth.drying_shrinkage(sand) / 100) + 0.15 * noise()
        self.heat = None

    def fire(self, heat):
        earth, noise = self.world.earth, self.world.rng.standard_normal
        self.heat = heat + 5 * noise()
        self.fired = self.dry * (1 - earth.fired_shrinkage(self.heat, self.sand) / 100)
        self.fired_mass = self.dry_mass * (1 - earth.loss / 100)
        self.soaked_mass = self.fired_mass * (1 + earth.absorbs(self.heat, self.sand) / 100)
        self.went = "bent" if self.heat > earth.bends else "sound"


def mix_name(action):
    return action.entry.partition("/")[2]


@hand("mould-trial-bars", "mould-bars")
def mould_bars(world, action, notes):
    if "marks" not in action.numbers:  # bars of the clay itself: they are dry now
        return (yield from dry_bars(world, action, notes))
    world.pass_time(timedelta(hours=2))
    sand = world.sand.get(mix_name(action), 0.0)
    count = int(action.numbers["bars"][0])
    bars = {str(i + 1): Bar(world, sand) for i in range(count)}
    world.bars[action.entry] = bars
    yield rows(action.log, "bars", "1", bars, lambda n: ("100.0", f"{bars[n].wet_mass:.0f}"))


@hand("measure-dry-bars")
def dry_bars(world, action, notes):
    world.pass_time(4 * DAY)
    bars = world.bars[action.entry]
    yield rows(
        action.log, "bars", "1", bars, lambda n: (f"{bars[n].dry:.1f}", f"{bars[n].dry_mass:.0f}")
    )


@hand("fire-bars")
def fire_bars(world, action, notes):
    world.pass_time(2 * DAY)
    bars = world.bars[action.entry]
    coolest, hottest, step = (action.numbers[n][0] for n in ("coolest", "hottest", "step"))
    heats = [coolest + i * step for i in range(round((hottest - coolest) / step) + 1)]
    for i, bar in enumerate(bars.values()):
        bar.fire(heats[i % len(heats)])
    yield rows(
        action.log, "bars", "1", bars,
        lambda n: (
            f"{bars[n].fired:.1f}", f"{bars[n].fired_mass:.0f}",
            f"{heats[(int(n) - 1) % len(heats)]:.0f}", bars[n].went,
        ),
    )  # fmt: skip


@hand("soak-bars")
def soak_bars(world, action, notes):
    world.pass_time(DAY)
    bars = {n: b for n, b in world.bars[action.entry].items() if b.went == "sound"}
    first = next(iter(bars))
    yield rows(action.log, "bars", first, bars, lambda n: (f"{bars[n].soaked_mass:.0f}",))
