"""A kiln: is it dry, does it lean, what must be noted of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import firings_in, last, lit_at, phase_of
from fieldbook.advice.rules import Case, rule
from fieldbook.records import Build, Clay, Kiln, Mix, Notebook

LEAN = 0.02
"""of the height: a fiftieth out of plumb is mended before the next fire; common practice."""
SMALL = 60
"""bricks of a first kiln: fifty to prove a mix, and some for the cold corners; common practice."""
LARGE = 400
"""bricks of the largest kiln that is advised: more than that is a yard's, not a maker's; common
practice."""
MANY_FIRINGS = 2
"""Firings of one kiln from which on a larger one pays; common practice."""
LEAN_UNKNOWN = 0.03
"""m, where the height is not noted; common practice."""


def last_fire(case: Case) -> datetime | None:
    """When the kiln was last lit with bricks in it."""
    lit = [lit_at(case.context, firing) for firing in firings_in(case.context, case.entry.name)]
    return max((moment for moment in lit if moment), default=None)


def last_heat(case: Case) -> datetime | None:
    """When the kiln was last heated or dried."""
    dried = last(case.entry, "dried")
    times = [moment for moment in [last_fire(case), dried and dried.at] if moment]
    return max(times, default=None)


def burning_now(case: Case) -> bool:
    """Whether a fire is in it, or the bricks of one."""
    phases = (phase_of(case.context, f) for f in firings_in(case.context, case.entry.name))
    return any(phase in ("lit", "holding", "sealed", "cooling", "opened") for phase in phases)


@rule(
    "first-kiln",
    on=Notebook,
    urgency=Urgency.BLOCKING,
    source="channels 0.30 m high, walls of 0.25 m or more: Agumba and Abbott 1996",
    topic="first-kiln",
)
def first_kiln(case: Case) -> Iterator[Action]:
    """There is a mix and no kiln to fire it in."""
    notebook = case.context.notebook
    if any(True for _ in notebook.of(Kiln)) or not any(True for _ in notebook.of(Mix)):
        return
    if not any(True for _ in notebook.of(Clay)):
        return
    yield case.act(
        "build-kiln",
        f"Build a small kiln for {SMALL} bricks on fired brick or dry sand, walls "
        f"{case.say.length(0.25)} or more.",
        "There is a mix and nothing to fire it in; a small kiln proves it with little wood.",
        numbers={"wall": [0.25, "m"], "bricks": [SMALL, "bricks"]},
        log=kiln_line(SMALL),
        settled_by="a kiln in the notebook",
    )


def kiln_line(bricks: int) -> str:
    """The line that notes a new kiln, with what heat and wood are reckoned from."""
    return (
        f"fieldbook add kiln … base=… form=… capacity={bricks} "
        'places=\'["top", "bottom"]\' length="… m" width="… m" height="… m" '
        'wall_thickness="… m"'
    )


@rule(
    "larger-kiln",
    on=Build,
    urgency=Urgency.BLOCKING,
    source="bigger, squarer and better sealed is less fuel a brick: Practical Action, "
    "Assessing the Technical Problems of Brick Production; how large: common practice",
    topic="kiln-size",
)
def larger_kiln(case: Case) -> Iterator[Action]:
    """Bricks of its mix are proven; the rest takes more than two firings of the largest kiln."""
    holds = [kiln.capacity for kiln in case.context.notebook.of(Kiln)]
    needed, fit = case.number("bricks_needed"), case.number("bricks_fit")
    if not holds or None in holds or needed is None or not fit:
        return
    laid = sum(line.laid or 0 for line in case.entry.log)
    lacking, largest = needed - laid - fit, max(hold for hold in holds if hold)
    if lacking <= MANY_FIRINGS * largest:
        return
    count = min(LARGE, 10 * math.ceil(1.1 * lacking / 10))
    yield case.act(
        "build-kiln",
        f"Build a kiln for {count} bricks on fired brick or dry sand, walls "
        f"{case.say.length(0.25)} or more.",
        f"It lacks {lacking:.0f} bricks; in a kiln for {largest} that is "
        f"{math.ceil(lacking / largest)} firings, and a fuller kiln burns less wood a brick.",
        numbers={"wall": [0.25, "m"], "bricks": [count, "bricks"], "lacking": [lacking, "bricks"]},
        log=kiln_line(count),
        rests_on=("bricks_needed", "bricks_fit"),
        settled_by="a larger kiln, or bricks enough",
    )


@rule(
    "dry-the-kiln",
    on=Kiln,
    urgency=Urgency.BLOCKING,
    source="residual water bursts walls and mortar as it does bricks; slow to 100 °C: Practical "
    "Action, Assessing the Technical Problems of Brick Production",
    caution="A damp wall heated fast bursts and throws pieces.",
    topic="dry-kiln",
)
def dry_the_kiln(case: Case) -> Iterator[Action]:
    """The kiln is new, was mended or was rained on, and no small fire dried it since."""
    if burning_now(case) or case.entry.form == "clamp":
        return  # a clamp is the bricks themselves: it has no wall to dry
    heated = last_heat(case)
    wet = [last(case.entry, "rain"), last(case.entry, "repaired")]
    since = max((line.at for line in wet if line), default=None)
    if heated is None:
        reason, why = "new", "No fire was ever noted in it, so its walls hold their building water."
    elif since is not None and since > heated:
        mended = wet[1] is not None and wet[1].at == since
        reason = "mended" if mended else "rained on"
        why = f"It was {reason} ({case.say.day(since)}) and not dried since."
    else:
        return
    below = case.say.temperature(100)
    yield case.act(
        "dry-kiln",
        f"Dry the empty kiln with a small fire for 6 h, its walls below {below}, top open.",
        why,
        numbers={"time": [6, "h"], "below": [100, "degC"]},
        log="dried",
        settled_by="dried, or a firing",
        reason=f"{reason} {since.isoformat(timespec='hours') if since else ''}".strip(),
    )


@rule(
    "measure-lean",
    on=Kiln,
    urgency=Urgency.TEACHING,
    source="a stack moves while it heats and cools: GATE brief Brick Clamps",
    topic="lean",
)
def measure_lean(case: Case) -> Iterator[Action]:
    """The kiln was fired since its lean was last measured."""
    if case.entry.form == "clamp":
        return
    heated, lean = last_fire(case), last(case.entry, "lean")
    if heated is None or burning_now(case) or case.entry.form == "pit":
        return
    if lean and lean.at > heated:
        return
    yield case.act(
        "measure-lean",
        "Hang a plumb line down the worst wall and measure how far its top is out.",
        f"Its last fire was {case.say.day(heated)} and its lean is not noted since.",
        numbers={"since": [case.context.days_since(heated), "days"]},
        log="lean … mm",
        settled_by="lean",
        reason=f"fired {heated.isoformat(timespec='hours')}",
    )


@rule(
    "straighten",
    on=Kiln,
    urgency=Urgency.PEOPLE,
    source="a fiftieth of the height: common practice",
    caution="A wall that leans falls when it is hot and moves; stay out from under it.",
    topic="lean",
)
def straighten(case: Case) -> Iterator[Action]:
    """A wall leans by more than a fiftieth of its height."""
    line = last(case.entry, "lean")
    if line is None or line.lean.is_bound:
        return
    height = case.entry.height
    limit = LEAN * height.value if height and not height.is_bound else LEAN_UNKNOWN
    mended = last(case.entry, "repaired")
    if line.lean.value <= limit or (mended and mended.at > line.at):
        return
    yield case.act(
        "rebuild-wall",
        "Take down and rebuild the leaning wall before the next fire; work from outside it.",
        f"It leans {case.say.length(line.lean.value)}; above {case.say.length(limit)} is not safe.",
        numbers={"lean": [line.lean.value, "m"], "limit": [limit, "m"]},
        log=": rebuilt the wall",
        settled_by="repaired",
        reason=f"lean {line.key or line.at.isoformat()}",
    )


@rule(
    "name-the-base",
    on=Kiln,
    urgency=Urgency.BLOCKING,
    source="concrete under fire spalls: van der Merwe, J. SAICE 65(2), 2023",
    topic="base",
)
def name_the_base(case: Case) -> Iterator[Action]:
    """What the kiln stands on is not noted."""
    if case.entry.base is not None:
        return
    yield case.act(
        "name-base",
        "Write what the kiln stands on: fired brick, sand, earth, stone or concrete.",
        "Concrete and stone burst when heated; the rest of the advice rests on this one word.",
        log=f'fieldbook set {case.address} base="…"',
        settled_by="base",
    )


@rule(
    "name-the-places",
    on=Kiln,
    urgency=Urgency.TEACHING,
    source="grades by position in an open kiln: Building Construction, arts 164-169",
    topic="places",
)
def name_the_places(case: Case) -> Iterator[Action]:
    """The places of the kiln have no names, so nothing can be told apart in it."""
    if case.entry.places or case.entry.form == "pit":
        return
    yield case.act(
        "name-places",
        "Name the places of the kiln, such as top, middle and bottom, and use them in the log.",
        "Fire differs from place to place; without names no reading and no brick tells where.",
        numbers={"places": [3, "places"]},
        log=f'fieldbook set {case.address} places=\'["top", "middle", "bottom"]\'',
        settled_by="places",
    )
