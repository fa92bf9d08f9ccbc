"""Seasons played through, by hand; minutes each:

    python -m tests.bench.season [WORLD …] [--keep FOLDER]
    python -m tests.bench.season --write [WORLD …] [--keep FOLDER]

Without `--write` the diary is printed as it is lived. A folder given with `--keep` holds the
seasons played so far, so that a long run can be taken up again.
"""

import argparse
import pickle
from pathlib import Path
from typing import NamedTuple

from tests.bench.season.figures import Figures, came
from tests.bench.season.handbook import Handbook
from tests.bench.season.page import PAGE, page, summary
from tests.bench.season.play import season
from tests.bench.season.world import World

WORLDS = (1, 2, 3, 4, 5, 6)
"""Those of the page; each takes some five minutes."""


class Result(NamedTuple):
    """Both makers in one world."""

    seed: int
    diary: list
    figures: Figures
    handbook: object


class ByHandbook(NamedTuple):
    """What became of the one who follows fixed times."""

    firings: int
    days: float
    out: dict
    fit: float
    wood: float


def handbook(seed, needed):
    """The same world again, for the other maker."""
    played = Handbook(World(seed), needed).play()
    world, loads = played.world, played.loads
    wood = sum(load.fire.wood for load in loads)
    return ByHandbook(len(loads), world.hour() / 24, came(loads), played.fit_share(), wood)


def show(entry):
    print(f"{entry.at:%d %b %H:%M} {entry.said} ({entry.rule})", flush=True)
    for line in entry.wrote:
        print("     ", line)


def played(seed, keep, tell):
    """A world played by both, or as it is kept."""
    path = keep and Path(keep) / f"{seed}.pickle"
    if path and path.exists():
        return pickle.loads(path.read_bytes())
    maker, figures = season(seed, tell=tell)
    result = Result(seed, maker.diary, figures, handbook(seed, figures.needed))
    if path:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(pickle.dumps(result))
    return result


def main():
    parser = argparse.ArgumentParser(prog="python -m tests.bench.season")
    parser.add_argument("worlds", type=int, nargs="*", default=WORLDS)
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--keep")
    given = parser.parse_args()
    tell = (lambda entry: None) if given.write else show
    results = [played(seed, given.keep, tell) for seed in given.worlds]
    if given.write:
        PAGE.write_text(page(results), encoding="utf-8")
    print(summary(results))


if __name__ == "__main__":
    main()
