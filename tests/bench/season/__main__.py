"""Seasons played through, by hand; minutes each:

    python -m tests.bench.season [worlds] [first] [--diary]
    python -m tests.bench.season --write
"""

import sys
import tempfile

from fieldbook.advice.context import Context
from fieldbook.store.folder import Store
from tests.bench.season.figures import season_figures
from tests.bench.season.hands import load_hands
from tests.bench.season.maker import Maker
from tests.bench.season.notes import Notes
from tests.bench.season.world import World


def season(seed, *, tame=False, settings=None, tell=lambda entry: None):
    """The maker at the end of one season, and its figures."""
    load_hands()
    with tempfile.TemporaryDirectory() as folder:
        store = Store.start(f"{folder}/notebook", {"timezone": "UTC", **(settings or {})})
        world = World(seed, tame=tame)
        maker = Maker(world, Notes(store), tell)
        maker.play()
        context = Context.of(store.notebook(world.now), world.now)
        needed = context.review("builds/wall").number("bricks_needed")
        return maker, season_figures(world, maker, int(needed))


def show(entry):
    print(f"{entry.at:%m-%d %H:%M} {entry.said} ({entry.rule})", flush=True)
    for line in entry.wrote:
        print("     ", line)


if __name__ == "__main__":
    settings = {"practice.reading_every": "3 h"} if "fast" in sys.argv else {}
    tame = "tame" in sys.argv
    _, figures = season(int(sys.argv[1]), tame=tame, settings=settings, tell=show)
    print(figures)
