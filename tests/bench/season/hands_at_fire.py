"""Hands at the kiln: setting, lighting, stoking, reading, sealing, opening, counting."""

from datetime import timedelta

from tests.bench.season.earth import MARK
from tests.bench.season.fire import PLACES
from tests.bench.season.hands import hand, nothing_to_write
from tests.bench.season.notes import filled

nothing_to_write(
    "clear-the-ring", "find-stokers", "set-witnesses", "never-alone", "shade-eyes",
    "monoxide-while-sealed", "monoxide-on-opening", "embers-on-opening", "keep-sealed",
    "quartz-on-the-way-down", "refire-soft", "wait-for-lime", "one-change", "clean-wood",
    "tongs-not-water", "skin-of-soft", "wettest-last", "even-out", "feed-falling-place",
)  # fmt: skip

FIRST_FEED = 0.004
"""of the mass of the ware: a small fire."""


def load_of(world, action):
    return world.fires[action.entry.partition("/")[2]]


@hand("light-at")
def light(world, action, notes):
    load = load_of(world, action)
    load.light()
    kiln = load.fire.kiln
    load.feed(max(1.0, FIRST_FEED * kiln.bricks * kiln.brick_mass), 2, 0.5)
    yield action.log


STOKING = (
    "climb-on", "hold-at-peak", "hold-for-core", "hold-for-steam", "slow-down", "stop-feeding",
    "feed-stalled-fire", "more-air", "slow-the-fall",
)  # fmt: skip
"""Orders to the fire: each holds until the next reading."""


@hand(*STOKING)
def stoke(world, action, notes):
    """The wood that is asked for, in feeds until the next reading."""
    load = load_of(world, action)
    load.now().asked(action)
    wood = action.numbers.get("fuel", [0.0])[0]
    load.feed(wood, int(action.numbers.get("feeds", [1])[0]), 0.4)
    return ()


@hand("read-now")
def read(world, action, notes):
    load = load_of(world, action)
    fire = load.now()
    line = at_places(action.log, fire)
    hour, put = load.take_put()
    if put > 0:
        line += f", {world.moment(hour):%Y-%m-%d %H:%M} +{put:.2f} kg split ash"
    yield line


@hand("read-cooling")
def read_cooling(world, action, notes):
    yield at_places(action.log, load_of(world, action).now())


def at_places(line, fire):
    """A round of readings; where the line names no place, at each of them."""
    named = [part.rpartition(" ")[2] for part in line.split(", ")]
    if named[0] not in PLACES:
        line, named = ", ".join(f"{line} {place}" for place in PLACES), PLACES
    return filled(line, *(f"{fire.read(place):.0f}" for place in named))


@hand("end-the-fire")
def end(world, action, notes):
    load = load_of(world, action)
    load.now()
    load.feeds = []
    yield action.log


@hand("seal")
def seal(world, action, notes):
    world.pass_time(timedelta(minutes=20))
    load_of(world, action).now().seal()
    yield action.log


@hand("open-kiln")
def open_kiln(world, action, notes):
    """Read first; opened where it is cool enough."""
    fire = load_of(world, action).now()
    shown = {place: fire.read(place) for place in PLACES}
    if max(shown.values()) < action.numbers["open_below"][0]:
        fire.open()
        yield action.log
        return
    yield ", ".join(f"{celsius:.0f} C {place}" for place, celsius in shown.items())


@hand("unload", "count-and-sort")
def unload(world, action, notes):
    load = load_of(world, action)
    load.now()
    world.pass_time(timedelta(hours=3))
    yield ", ".join(
        " ".join([*(f"{name} {count}" for name, count in counts.items()), place])
        for place, counts in load.unload().items()
    )
    load.batch.count -= sum(load.counts.values())


@hand("fill-gaps")
def nobody_knows(world, action, notes):
    return ()


@hand("note-faults", "look-for-cause")
def faults(world, action, notes):
    yield filled(action.log, load_of(world, action).looks())


@hand("weigh-fired-bricks")
def weigh_fired(world, action, notes):
    """Marked bricks that came out, weighed and measured; a third stood at the hot place."""
    load = load_of(world, action)
    batch, sand, earth = load.batch, load.batch.sand, world.earth
    heats = [slab.heat() for slab in load.fire.inside]
    blanks = []
    for n in range(3):
        heat = heats[n % 2]
        mass = batch.dry_mass[n] * (1 - earth.loss / 100)
        stopped = MARK * (1 - earth.drying_shrinkage(sand) / 100)
        marks = stopped * (1 - earth.fired_shrinkage(heat, sand) / 100)
        blanks += [f"{world.scale(mass, 0.01):.2f}", f"{marks:.1f}"]
    yield filled(action.log, *blanks)


@hand("slow-the-fall")
def slow_the_fall(world, action, notes):
    load_of(world, action).now().kiln.leak *= 0.8
    yield action.log


@hand("look-inside")
def look_inside(world, action, notes):
    """Burnt through by 750 °C; grey before."""
    core = max(slab.t[0] for slab in load_of(world, action).now().inside)
    yield filled(action.log, "even" if core > 750 else "grey")


@hand("steam-not-yet")
def draw(world, action, notes):
    """One brick weighed twice."""
    load = load_of(world, action)
    for minutes in (0, 30):
        world.pass_time(timedelta(minutes=minutes))
        wet = load.now().inside[0].w.mean()
        yield filled(action.log, f"{load.batch.dry_mass[0] * (1 + wet):.2f}")
