"""The page of the seasons: figures of both makers in every world, and one diary."""

from pathlib import Path
from textwrap import wrap

PAGE = Path(__file__).parents[3] / "docs" / "season.md"
HEAD = """# A season played through

Made by `python -m tests.bench.season --write`; it takes some minutes a world.

A script keeps an empty notebook. It does the first thing `next` says that is due, writes the line
which that action offers with its blanks filled, and waits for the next due time when nothing is
open. Behind it lies a simulated place: a clay with its own shrinkage, absorption and strength
against heat-work, sand, weather by the hour, bricks that dry by diffusion, a scale, a ruler and a
thermometer that are a little out, and a kiln that answers to wood alone, in which each brick
cracks, bursts, stays soft or bends by what it went through. Nothing of the program's own physics is
in it (`tests/bench/season`, `tests/bench/kiln_model.py`, `tests/bench/diffusion.py`; all their
numbers are ours). The season ends when the notebook itself says that a garden wall has as many
bricks as it takes, each lot of them tested and found fit.

An observation is one line typed: a round of the marked bricks or of the kiln's places goes on one.
The bricks, bars and places in those lines are counted beside. Lines from lighting a kiln to opening
it are the firing's.

Beside it, with the same clay and weather and a kiln drawn from the same ranges, a maker without a
notebook who follows fixed times: one sand to four of clay, fourteen days under cover, 48 h from a
small fire to the end of full fire by the clock and the glow, two days shut (Tappan, Diggers in the
Earth, 1916; Tekno Tulong brickmaking note; Harris, Lexicon Technicum, 1723; the stoker's eye is
ours). Fit is what is truly fit for the wall, of all bricks set in a kiln, however they were sorted.
"""


def table(rows):
    """A table in Markdown."""
    head, *body = rows
    lines = [f"| {' | '.join(head)} |", f"|{' --- |' * len(head)}"]
    return "\n".join([*lines, *(f"| {' | '.join(row)} |" for row in body)])


def worlds(results):
    """Both makers, world by world."""
    head = (
        "world", "wall, bricks", "maker", "firings", "days", "set", "sound", "spoilt", "fit",
        "wood, kg",
    )  # fmt: skip
    rows = [head]
    for result in results:
        ours, theirs = result.figures, result.handbook
        for name, figures in (("obeys `next`", ours), ("by the handbook", theirs)):
            total = sum(figures.out.values())
            rows.append((
                str(result.seed), str(ours.needed), name, str(figures.firings),
                f"{figures.days:.0f}", str(total), str(figures.out["sound"]),
                spoilt(figures.out), f"{100 * figures.fit:.0f} %", f"{figures.wood:.0f}",
            ))  # fmt: skip
    return table(rows)


def spoilt(out):
    told = [f"{count} {name}" for name, count in out.items() if name != "sound" and count]
    return ", ".join(told) or "none"


def observations(results):
    """How much `next` asked for."""
    head = (
        "world", "lines outside the firings", "bricks and bars in them", "firing", "h to the peak",
        "an hour, climbing", "in its busiest hour", "an hour, cooling", "coldest place, °C of 1 h",
    )  # fmt: skip
    rows = [head]
    for result in results:
        figures = result.figures
        for number, fire in enumerate(figures.fires):
            own = (str(result.seed), str(figures.outside), str(figures.parts))
            rows.append((
                *(own if number == 0 else ("", "", "")), f"{fire.bricks} bricks",
                f"{fire.hours:.0f}", f"{fire.climbing:.1f}", str(fire.busiest),
                f"{fire.cooling:.2f}", f"{fire.peak:.0f}",
            ))  # fmt: skip
    return table(rows)


def summary(results):
    """The worst of all worlds, in words."""
    ours, theirs = [r.figures for r in results], [r.handbook for r in results]
    fires = [fire for figures in ours for fire in figures.fires]
    fit = [sum(f.fit for f in each) / len(each) for each in (ours, theirs)]
    count = [sum(f.firings for f in each) / len(each) for each in (ours, theirs)]
    wood = [sum(f.wood for f in each) / len(each) for each in (ours, theirs)]
    return (
        f"In {len(results)} worlds the one who obeys reached the wall without a dead end, with "
        f"{min(f.outside for f in ours)} to {max(f.outside for f in ours)} lines written outside "
        f"the firings; at the fire with {max(f.climbing for f in fires):.1f} an hour or fewer on "
        f"average while climbing, {max(f.busiest for f in fires)} in the busiest hour, and "
        f"{max(f.cooling for f in fires):.2f} an hour or fewer while cooling. It took "
        f"{count[0]:.1f} firings on average, by the handbook {count[1]:.1f}; of the bricks set "
        f"{100 * fit[0]:.0f} % were fit, by the handbook {100 * fit[1]:.0f} %; with {wood[0]:.0f} "
        f"kg of wood, by the handbook {wood[1]:.0f} kg."
    )


AT_THE_FIRE = (
    "read-now", "read-cooling", "climb-on", "hold-for-core", "hold-for-steam", "slow-down",
    "hold-at-peak", "even-out", "feed-falling-place", "stop-feeding",
)  # fmt: skip


def diary(rounds):
    """What was said and written; the rounds at the fire, alike by the dozen, drawn together."""
    lines, held = [], []
    for entry in rounds:
        if entry.rule in AT_THE_FIRE:
            held.append(entry)
            continue
        lines += drawn_together(held)
        held = []
        lines += told(entry)
    return "\n".join([*lines, *drawn_together(held)])


def drawn_together(rounds):
    """First and last of a stretch at the fire, and how many lay between."""
    if len(rounds) <= 4:
        return [line for entry in rounds for line in told(entry)]
    reads = sum(entry.rule.startswith("read") for entry in rounds)
    middle = f"             … {len(rounds) - 4} more orders; {reads} readings in all"
    first, last = rounds[:2], rounds[-2:]
    return [
        *(line for entry in first for line in told(entry)),
        middle,
        *(line for entry in last for line in told(entry)),
    ]


def told(entry):
    """One order and what was written for it."""
    said = wrap(entry.said, 84)
    lines = [f"{entry.at:%d %b %H:%M} {said[0]}", *(f"{' ' * 13}{part}" for part in said[1:])]
    for text in entry.wrote[:3]:
        lines += [f"{' ' * 15}> {part}" for part in wrap(text, 82)]
    if len(entry.wrote) > 3:
        lines.append(f"{' ' * 15}> … {len(entry.wrote) - 3} more lines like it")
    return lines


def page(results):
    """All of it."""
    first = results[0]
    return f"""{HEAD}
## What came of it

{chr(10).join(wrap(summary(results), 100))}

{worlds(results)}

## How much was asked

{observations(results)}

## The diary of world {first.seed}

```text
{diary(first.diary)}
```
"""
