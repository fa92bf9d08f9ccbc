"""One season from an empty folder to the end."""

import tempfile

from fieldbook.advice.context import Context
from fieldbook.store.folder import Store
from tests.bench.season.figures import season_figures
from tests.bench.season.hands import load_hands
from tests.bench.season.maker import Maker, stack_is_there
from tests.bench.season.notes import Notes
from tests.bench.season.world import World


def nobody(entry):
    """Nobody is told."""


def season(seed, *, tame=False, settings=None, until=stack_is_there, tell=nobody):
    """The maker at the end of one season, and its figures."""
    load_hands()
    with tempfile.TemporaryDirectory() as folder:
        store = Store.start(f"{folder}/notebook", {"timezone": "UTC", **(settings or {})})
        world = World(seed, tame=tame)
        maker = Maker(world, Notes(store), tell)
        maker.play(until)
        context = Context.of(store.notebook(world.now), world.now)
        needed = context.review("builds/wall").number("bricks_needed")
        return maker, season_figures(world, maker, int(needed))
