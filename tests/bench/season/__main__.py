"""Run by hand."""

import sys
import tempfile

from fieldbook.store.folder import Store
from tests.bench.season.hands import load_hands
from tests.bench.season.maker import Maker
from tests.bench.season.notes import Notes
from tests.bench.season.world import World


def main(seed):
    load_hands()
    with tempfile.TemporaryDirectory() as folder:
        store = Store.start(
            f"{folder}/notebook",
            {
                "timezone": "UTC",
                **({"practice.reading_every": "3 h"} if "fast" in sys.argv else {}),
            },
        )
        maker = Maker(World(seed, tame="tame" in sys.argv), Notes(store))
        try:
            maker.play(lambda context: False)
        finally:
            for entry in maker.diary:
                print(f"{entry.at:%m-%d %H:%M} {entry.said}")
                for line in entry.wrote:
                    print("     ", line)
            print(maker.notes.outside(), len(maker.notes.lines))


main(int(sys.argv[1]))
