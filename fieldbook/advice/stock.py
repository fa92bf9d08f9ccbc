"""Where all the bricks are: drying, in the kiln, cooling, to test, fit, gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from fieldbook.advice.context import Context
from fieldbook.advice.events import SHUT, phase_of
from fieldbook.advice.firing_phase import events_of
from fieldbook.errors import Problem
from fieldbook.records import Batch, BatchLine, Build, BuildLine, Firing, Moment, Test, Unloaded

PLACES = ("moulded", "drying", "ready", "in the kiln", "cooling", "to test", "fit")
"""The row that shows where the bricks are, in the order of the work."""
OUTCOMES = ("sound", "cracked", "soft", "overfired", "lost")


@dataclass
class Lot:
    """Bricks of one batch out of one firing."""

    firing: str
    batch: str | None
    mix: str | None
    came_out: dict[str, int]
    """By how they came out, as counted."""
    unloaded: datetime | None
    left: int = 0
    """Sound ones not yet laid, sold, broken or fired again."""
    soft_left: int = 0
    tested: bool = False
    unsorted: int = 0
    """Taken out and not yet counted by how they came out."""

    @property
    def sound(self) -> int:
        """Sound when they came out."""
        return self.came_out.get("sound", 0)


@dataclass
class BatchStock:
    """The bricks of one batch."""

    moulded: int | None
    """None: the count is not written."""
    lost_green: int = 0
    """Cracked, broken or sold before any fire."""
    in_kiln: int = 0
    cooling: int = 0
    fired: int = 0
    """Out of the kiln, however they came out."""
    sold: int = 0
    broken: int = 0
    broken_fired: int = 0
    """Of the broken ones, those that had been fired."""
    laid: int = 0
    planned: bool = False
    """Whether it is to be moulded later than now."""
    set_for: tuple[str, ...] = ()
    """Firings not yet lit that it is in the load of."""
    lots: list[Lot] = field(default_factory=list)
    lit: list[tuple[datetime, int]] = field(default_factory=list)
    """When a fire was lit under some of them, and how many."""

    def green_at(self, at: datetime) -> int:
        """Not yet in any fire at a moment; none where the count is not written."""
        if self.moulded is None:
            return 0
        in_fire = sum(count for lit, count in self.lit if lit <= at)
        return max(0, self.moulded - self.lost_green - in_fire)

    @property
    def green(self) -> int | None:
        """Not yet fired; None where the count is not written."""
        if self.moulded is None:
            return None
        gone = self.lost_green + self.in_kiln + self.cooling + self.fired
        return max(0, self.moulded - gone)

    @property
    def left(self) -> int:
        """Sound fired ones not yet used."""
        return sum(lot.left for lot in self.lots)

    def counts(self) -> dict[str, int | None]:
        """Plain counts by where they are."""
        came_out = {
            outcome: sum(lot.came_out.get(outcome, 0) for lot in self.lots) for outcome in OUTCOMES
        }
        return {
            "moulded": self.moulded,
            "lost before firing": self.lost_green,
            "green": self.green,
            "in the kiln": self.in_kiln,
            "cooling": self.cooling,
            "fired": self.fired,
            **came_out,
            "sold": self.sold,
            "broken": self.broken,
            "laid": self.laid,
            "left": self.left,
        }


@dataclass
class Stock:
    """All the bricks of a notebook as of now."""

    batches: dict[str, BatchStock]
    lots: list[Lot]
    problems: list[Problem] = field(default_factory=list)

    def of_batch(self, name: str) -> BatchStock:
        """The bricks of one batch."""
        return self.batches.get(name) or BatchStock(None)


def stock_of(context: Context) -> Stock:
    """Where all the bricks are, worked out once for a context."""
    return context.once(_count)


def row(context: Context) -> dict[str, int]:
    """How many bricks are where, in the order of the work."""
    stock = stock_of(context)
    found = dict.fromkeys(PLACES, 0)
    for name, bricks in stock.batches.items():
        found["in the kiln"] += bricks.in_kiln
        found["cooling"] += bricks.cooling
        if not bricks.planned and bricks.green:
            review = context.review(f"batches/{name}")
            stage = review.facts.get("green_phase", "drying") if review else "drying"
            found[stage] += bricks.green
    for lot in stock.lots:
        found["fit" if lot.tested else "to test"] += lot.left + lot.unsorted
    return found


# --- counting ---


def _count(context: Context, _: str) -> Stock:
    notebook = context.notebook
    stock = Stock({}, [])
    for batch in notebook.of(Batch):
        planned = batch.moulded is not None and not begun(batch.moulded, context)
        stock.batches[batch.name] = BatchStock(batch.count, planned=planned)
    firings = sorted(notebook.of(Firing), key=lambda firing: _sort_time(firing, context))
    for firing in firings:
        _take_firing(stock, firing, context)
    for batch in notebook.of(Batch):
        _take_batch_log(stock, batch)
    for test in notebook.of(Test):
        _take_test(stock, test)
    for build in notebook.of(Build):
        _take_laid(stock, build)
    return stock


def begun(moment: Moment, context: Context) -> bool:
    """Whether a moment has come; a whole day has from its first hour on."""
    return context.is_past(moment.at - timedelta(hours=moment.half_hours))


def _sort_time(firing: Firing, context: Context) -> tuple[float, str]:
    at = events_of(firing, context.notebook).at
    times = [moment.timestamp() for moment in at.values()]
    return (min(times) if times else float("inf"), firing.name)


def _take_firing(stock: Stock, firing: Firing, context: Context) -> None:
    phase = phase_of(context, firing)
    if phase == "planned":
        for load in firing.load:
            bricks = stock.batches.get(load.batch or "")
            if bricks is not None:
                bricks.set_for = tuple(dict.fromkeys((*bricks.set_for, firing.name)))
        return
    _take_refired(stock, firing)
    lit = events_of(firing, context.notebook).lit
    for load in firing.load:
        if lit is not None and not load.refired and load.batch in stock.batches:
            stock.batches[load.batch].lit.append((lit, load.count or 0))
    if phase == "unloaded":
        _take_unloaded(stock, firing, context)
        return
    for load in firing.load:
        bricks = stock.batches.get(load.batch or "")
        if bricks is None:
            continue
        count = load.count if load.count is not None else (bricks.green or 0)
        if phase in (*SHUT, "opened"):
            bricks.cooling += count
        else:
            bricks.in_kiln += count


def _take_refired(stock: Stock, firing: Firing) -> None:
    """Bricks fired again leave the lots of their first firing, the soft ones first."""
    for load in firing.load:
        wanted = load.count or 0
        for lot in stock.lots if load.refired else ():
            if lot.firing != load.refired:
                continue
            soft = min(wanted, lot.soft_left)
            sound = min(wanted - soft, lot.left)
            lot.soft_left -= soft
            lot.left -= sound
            wanted -= soft + sound


def _take_unloaded(stock: Stock, firing: Firing, context: Context) -> None:
    at = events_of(firing, context.notebook).get("unloaded")
    batches = list(dict.fromkeys(load.batch for load in firing.load if load.batch))
    only = batches[0] if len(batches) == 1 else None
    lots: dict[str | None, Lot] = {}
    for row_ in firing.unloaded:
        name = row_.batch or only
        lot = lots.setdefault(name, Lot(firing.name, name, _mix_of(name, context), {}, at))
        for outcome, count in _outcomes(row_):
            lot.came_out[outcome] = lot.came_out.get(outcome, 0) + count
    for name in batches:
        if not firing.unloaded:
            lots[name] = Lot(firing.name, name, _mix_of(name, context), {}, at)
            lots[name].unsorted = _loaded(firing, name)
    for name, lot in lots.items():
        lot.left, lot.soft_left = lot.sound, lot.came_out.get("soft", 0)
        stock.lots.append(lot)
        bricks = stock.batches.get(name or "")
        if bricks is not None:
            bricks.lots.append(lot)
            came = sum(lot.came_out.values()) - _refired(firing, name, context)
            bricks.fired += max(came, _loaded(firing, name))


def _refired(firing: Firing, batch: str | None, context: Context) -> int:
    """Bricks of a batch that had been fired before they were set in this firing."""
    count = 0
    for load in firing.load if batch else ():
        before = context.notebook.entry(f"firings/{load.refired}") if load.refired else None
        if isinstance(before, Firing) and batch in {earlier.batch for earlier in before.load}:
            count += load.count or 0
    return count


def _outcomes(row_: Unloaded) -> Iterator[tuple[str, int]]:
    for outcome in OUTCOMES:
        count = getattr(row_, outcome)
        if count:
            yield outcome, count


def _loaded(firing: Firing, batch: str | None) -> int:
    return sum(load.count or 0 for load in firing.load if load.batch == batch and not load.refired)


def _mix_of(batch: str | None, context: Context) -> str | None:
    entry = context.notebook.entry(f"batches/{batch}") if batch else None
    return entry.mix if isinstance(entry, Batch) else None


def _take_batch_log(stock: Stock, batch: Batch) -> None:
    """Sold, broken and cracked, out of the green or the fired ones as the log tells."""
    bricks = stock.batches[batch.name]
    for line in batch.log:
        if isinstance(line, BatchLine):
            _take_line(stock, bricks, line)
    gone = bricks.lost_green + bricks.fired
    if bricks.moulded is not None and gone > bricks.moulded:
        what = f"{gone} bricks are lost or fired of a batch of {bricks.moulded}"
        where = batch.where("count")
        stock.problems.append(_problem(where, what, "Correct the count, or that of a load."))


def _take_line(stock: Stock, bricks: BatchStock, line: BatchLine) -> None:
    """What breaks is green while green bricks lie there; what is sold is fired where there are."""
    sold, broken = line.sold or 0, line.broken or 0
    bricks.sold += sold
    bricks.broken += broken
    fired = [lot for lot in bricks.lots if lot.unloaded is None or lot.unloaded <= line.at]
    green = bricks.green_at(line.at)
    cracked = line.cracked or 0 if not fired or green else 0
    broken_green = broken if not fired else min(broken, green)
    bricks.broken_fired += broken - broken_green
    from_lots = sum(_draw(fired, sold + broken - broken_green).values())
    short = sold + broken - broken_green - from_lots
    sold_green = min(short, max(0, green - broken_green)) if bricks.moulded is not None else short
    bricks.lost_green += cracked + broken_green + sold_green
    if short > sold_green:
        what = f"{sold + broken} sold or broken, {short - sold_green} more than are left"
        stock.problems.append(_problem(line.where, what, "Count them again."))


def _draw(lots: list[Lot], count: int) -> dict[str | None, int]:
    """Take sound bricks out of lots, the oldest first; how many could be taken, by batch."""
    taken: dict[str | None, int] = {}
    for lot in lots:
        part = min(count, lot.left)
        lot.left -= part
        count -= part
        taken[lot.batch] = taken.get(lot.batch, 0) + part
    return taken


def _take_test(stock: Stock, test: Test) -> None:
    """Bricks a test broke are gone; what came out with them counts as tested."""
    lots = [
        lot
        for lot in stock.lots
        if lot.batch == test.batch and (test.firing is None or lot.firing == test.firing)
    ]
    if not test.specimens:
        return
    for lot in lots:
        lot.tested = True
    broken = sum(
        1 for one in test.specimens.values() if one.bending_load or one.crushing_load or one.lever
    )
    _draw(lots, broken)


def _take_laid(stock: Stock, build: Build) -> None:
    """Bricks laid leave the lots they are of; where that is not said, those of the build's mix.

    A yard whose firings are not written down has no lots, and nothing is held against them.
    """
    for line in build.log:
        if not isinstance(line, BuildLine) or not line.laid:
            continue
        lots = [lot for lot in stock.lots if _laid_of(line, build, lot)]
        if not lots and not line.of_:
            continue
        taken = _draw(lots, line.laid)
        for name, count in taken.items():
            if name in stock.batches:
                stock.batches[name].laid += count
        found = sum(taken.values())
        if found < line.laid:
            of = f" of {line.of_}" if line.of_ else ""
            what = f"{line.laid} laid{of}, and {found} were left of {'it' if of else 'this mix'}"
            stock.problems.append(
                _problem(line.where, what, "Count again, or log where the others came from.")
            )


def _laid_of(line: BuildLine, build: Build, lot: Lot) -> bool:
    """Whether bricks of a lot may be those of a line: of what it names, else of the build's mix."""
    if line.of_:
        return line.of_ in (lot.firing, lot.batch)
    return build.mix in (None, lot.mix)


def _problem(where: str, what: str, remedy: str) -> Problem:
    path, _, line = where.rpartition(":")
    return (
        Problem(path, int(line), what, remedy)
        if line.isdigit()
        else Problem(where, None, what, remedy)
    )


def problems_of(stock: Stock, path: str) -> list[Problem]:
    """What the counting found wrong in one file."""
    return [problem for problem in stock.problems if problem.path == path]


def phase_of_batch(bricks: BatchStock, green_phase: str) -> str:
    """Where most of it is: `planned`, the phase of the green ones, `in kiln`, `fired`, `used`."""
    if bricks.planned:
        return "planned"
    in_kiln = bricks.in_kiln + bricks.cooling
    green = bricks.green if bricks.green is not None else (0 if in_kiln + bricks.fired else 1)
    most = max(green, in_kiln, bricks.fired)
    if in_kiln and in_kiln == most:
        return "in kiln"
    if green == most and green > 0:
        return green_phase
    if (
        bricks.fired
        and not bricks.left
        and not any(lot.unsorted or lot.soft_left for lot in bricks.lots)
    ):
        return "used"
    return "fired" if bricks.fired else green_phase
