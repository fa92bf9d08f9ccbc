"""What deriving costs once numpy is loaded. Run by hand:

    python -m tests.bench.derive_speed

A batch with 200 weighings of ten marked bricks, each time with other masses, and a grade of five
bricks; processor time, so that other work on the machine counts little.
"""

import math
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldbook.advice.review import review
from fieldbook.calc.grading import Sample, find_standard, grade
from fieldbook.store import Store

BEGUN = datetime(2026, 4, 1, 8, tzinfo=UTC)
NOW = BEGUN + timedelta(days=11)
RUNS = 9
GRADED = Sample(
    {
        "compressive_strength": dict(zip("12345", (23.4, 21.7, 20.5, 24.8, 18.6), strict=True)),
        "boiling_absorption": dict(zip("12345", (15.2, 16.0, 14.8, 17.5, 15.5), strict=True)),
        "cold_absorption": dict(zip("12345", (11.9, 12.5, 11.5, 14.0, 12.1), strict=True)),
        "saturation_coefficient": dict(zip("12345", (0.78, 0.78, 0.78, 0.80, 0.78), strict=True)),
    }
)


def batch(weighings: int, bricks: int, wet: float) -> str:
    """A batch whose bricks, `wet` kg as moulded, were weighed so often in ten days."""
    lines = [
        'mix = "m"\nmoulded = "2026-04-01 08:00"\ncount = 100\n'
        'oven_dry = { wet_mass = "130 g", dry_mass = "100 g" }\n[marked]\n'
    ]
    lines += [f'"{brick}" = {{ mass = "{wet:.2f} kg" }}\n' for brick in range(1, bricks + 1)]
    lines.append("[log]\n")
    sessions = weighings // bricks
    for session in range(1, sessions + 1):
        hours = 240 / sessions * session
        for brick in range(1, bricks + 1):
            water = 0.28 * math.exp(-hours / 120 * (1 + 0.02 * brick)) + 0.02
            at = BEGUN + timedelta(hours=hours, minutes=brick)
            mass = wet / 1.3 * (1 + water)
            lines.append(
                f'"{at:%Y-%m-%d %H:%M}" = {{ brick = "{brick}", mass = "{mass:.3f} kg" }}\n'
            )
    return "".join(lines)


def notebook(folder: Path, text: str) -> None:
    """A notebook with that batch."""
    files = {
        "notebook.toml": 'format = 1\ntimezone = "UTC"\n',
        "clays/c.toml": 'place = "bank"\n',
        "mixes/m.toml": 'parts = [{ clay = "c", mass = "3 kg" }]\n',
        "batches/b.toml": text,
    }
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(content, encoding="utf-8")


def milliseconds(work: Callable[[], object]) -> float:
    """Processor time of one call [ms]."""
    begun = time.process_time()
    work()
    return 1000 * (time.process_time() - begun)


def derive(folder: Path) -> Callable[[], object]:
    """All that follows from the batch, its file read already."""
    read = Store(folder).notebook(NOW)
    entry = read.entry("batches/b")
    assert entry is not None
    return lambda: review(entry, read, NOW)


def main() -> None:
    """Print both figures."""
    found = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for run in range(RUNS + 1):
            notebook(folder, batch(200, 10, 3.20 + run / 100))
            found.append(milliseconds(derive(folder)))
    print(f"batch, 200 weighings: first {found[0]:.0f} ms with what it loads, then")
    print(f"    {statistics.median(found[1:]):.1f} ms (at most {max(found[1:]):.1f}); wanted: 30")
    grade(find_standard("ASTM C62"), GRADED)
    times = [milliseconds(lambda: grade(find_standard("ASTM C62"), GRADED)) for _ in range(50)]
    print(f"grade of five bricks: {statistics.median(times):.2f} ms; wanted: 5")


if __name__ == "__main__":
    main()
