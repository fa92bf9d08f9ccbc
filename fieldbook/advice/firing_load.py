"""What is in the kiln: bricks by place, how thick and how wet, of what clay, of what mass."""

from __future__ import annotations

from dataclasses import field
from datetime import datetime

from fieldbook.advice.context import Context
from fieldbook.advice.firing_burns import burns_off
from fieldbook.advice.results import Input
from fieldbook.advice.review import Review
from fieldbook.calc.brick import Brick, Three
from fieldbook.calc.kinetics import CO2_OF_CALCITE, WATER_OF_ILLITE, WATER_OF_KAOLINITE
from fieldbook.calc.properties import DRY_DENSITY
from fieldbook.frozen import frozen
from fieldbook.records import Batch, BatchLine, Firing, Load, Mix, Size

Sides = tuple[float, float, float]
UNKNOWN_WATER: Three = (1.0, 3.0, 6.0)
"""% of the dry mass where no brick was weighed; common practice sets bricks at 3 to 5 %."""
MOST_WATER = 45.0
"""% of the dry mass that no brick holds: one fresh from the mould has 20 to 40 %."""
REFIRED_WATER: Three = (0.0, 0.5, 1.5)
"""% of the dry mass of bricks that were fired before; from memory."""
NO_LIMIT = 1050.0
"""degC: nothing is fired hotter where nothing is known of its clay (softens from 900 to 1250);
from memory."""


@frozen
class Lot:
    """One row of the load, with what is known of its bricks."""

    item: Load
    field_path: str
    batch: Batch | None
    mix: Mix | None
    sides: Sides | None
    """m, dry, least first."""
    size_from: str
    moisture: Three
    """% of the dry mass when lit: low, middle, high."""
    moisture_from: Input
    moisture_known: bool
    brick_mass: float | None
    """kg, dry, of one brick."""
    brick_mass_half: float
    mass_from: Input | None
    ignition_loss: Three
    carbon: Three
    carbonate: Three
    refired: bool

    @property
    def count(self) -> int | None:
        """How many."""
        return self.item.count

    @property
    def place(self) -> str | None:
        """Where in the kiln, in one spelling."""
        return self.item.place.strip().casefold() if self.item.place else None

    @property
    def dry_mass(self) -> float | None:
        """kg, of all its bricks."""
        if self.brick_mass is None or self.count is None:
            return None
        return self.brick_mass * self.count

    @property
    def thickness(self) -> float | None:
        """m, the least side."""
        return self.sides[0] if self.sides else None

    @property
    def name(self) -> str:
        """What the row is called in a sentence."""
        return self.item.batch or self.item.refired or self.field_path


@frozen
class Loaded:
    """The whole load of a firing."""

    lots: tuple[Lot, ...]
    bench: float | None
    """m: the thickness of bricks set tight together."""
    bench_where: str
    peak_limit: float
    peak_limit_from: Input
    needs: tuple[str, ...] = ()
    inputs: tuple[Input, ...] = field(default=())

    @property
    def count(self) -> int | None:
        """Bricks in all; None where a row does not say."""
        counts = [lot.count for lot in self.lots]
        known = [count for count in counts if count is not None]
        return sum(known) if known and len(known) == len(counts) else None

    @property
    def dry_mass(self) -> float | None:
        """kg in all; None where a row does not say."""
        masses = [lot.dry_mass for lot in self.lots]
        known = [mass for mass in masses if mass is not None]
        return sum(known) if known and len(known) == len(masses) else None

    @property
    def thickest(self) -> Lot | None:
        """The row with the thickest brick."""
        sized = [lot for lot in self.lots if lot.thickness]
        return max(sized, key=lambda lot: lot.thickness or 0.0, default=None)

    @property
    def wettest(self) -> Lot | None:
        """The row with the wettest brick."""
        return max(self.lots, key=lambda lot: lot.moisture[2], default=None)

    def at(self, place: str) -> tuple[Lot, ...]:
        """The rows at a place; all of them where none is said to be there."""
        return tuple(lot for lot in self.lots if lot.place == place) or self.lots

    def brick_at(self, place: str) -> Brick | None:
        """The thickest and wettest brick of a place, as the calculations take it."""
        return _brick(self.at(place), self.bench)

    @property
    def brick(self) -> Brick | None:
        """The thickest and wettest brick of the whole load."""
        return _brick(self.lots, self.bench)


def _brick(lots: tuple[Lot, ...], bench: float | None) -> Brick | None:
    sized = [lot for lot in lots if lot.sides]
    if not sized:
        return None
    thickest = max(sized, key=lambda lot: lot.thickness or 0.0)
    wettest = max(lots, key=lambda lot: lot.moisture[2])
    a, b, c = thickest.sides or (0.0, 0.0, 0.0)
    low, middle, high = (part / 100 for part in wettest.moisture)
    minerals = _minerals(thickest)
    return Brick(
        length=c,
        width=b,
        height=a,
        bench=bench,
        free_water=(low, middle, high),
        kaolinite=minerals,
        illite=minerals,
        carbonate=thickest.carbonate,
        carbon=thickest.carbon,
    )


def _minerals(lot: Lot) -> Three:
    """Kaolinite and illite, alike in share, that give up the water the clay is known to lose."""
    if lot.refired:
        return (0.0, 0.0, 0.0)
    low, middle, high = lot.ignition_loss
    other = lot.carbon[1] + CO2_OF_CALCITE * lot.carbonate[1]
    each = WATER_OF_KAOLINITE + WATER_OF_ILLITE
    shares = [min(max(part - other, 0.0) / each, 0.5) for part in (low, middle, high)]
    return (shares[0], shares[1], shares[2])


def load_of(firing: Firing, context: Context, lit: datetime | None = None) -> Loaded:
    """The load of a firing with all that batches, mixes and clays tell of it, as it was lit."""
    lots = tuple(_lot(firing, context, i, item, lit) for i, item in enumerate(firing.load))
    bench = firing.setting.bench if firing.setting else None
    limit, limit_from = _peak_limit(lots, context)
    needs = []
    if not lots:
        needs.append("load")
    needs += [f"batches/{lot.name}: green.height" for lot in lots if lot.sides is None]
    return Loaded(
        lots,
        bench.value if bench and not bench.is_bound and bench.value > 0 else None,
        bench.where if bench else "",
        limit,
        limit_from,
        tuple(needs),
        tuple(lot.moisture_from for lot in lots),
    )


def _lot(firing: Firing, context: Context, index: int, item: Load, lit: datetime | None) -> Lot:
    path = f"load.{index + 1}"
    batch = _batch_of(item, context)
    review = context.review(batch.address) if batch else None
    mix = context.notebook.entry(f"mixes/{batch.mix}") if batch and batch.mix else None
    mix = mix if isinstance(mix, Mix) else None
    sides, size_from = _sides(batch, review)
    moisture, source, known = _moisture(item, batch, review, lit)
    loss, carbon, carbonate = burns_off(mix, context)
    mass, half, mass_from = _brick_mass(batch, review, sides)
    refired = item.refired is not None
    if refired:
        carbon, carbonate = (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)
        mass = mass * (1 - loss[1]) if mass is not None else None
        loss = (0.0, 0.0, 0.0)
    return Lot(
        item, path, batch, mix, sides, size_from, moisture, source, known,
        mass, half, mass_from, loss, carbon, carbonate, refired,
    )  # fmt: skip


def _batch_of(item: Load, context: Context) -> Batch | None:
    name = item.batch
    if name is None and item.refired:
        before = context.notebook.entry(f"firings/{item.refired}")
        loads = before.load if isinstance(before, Firing) else ()
        name = next((load.batch for load in loads if load.batch), None)
    batch = context.notebook.entry(f"batches/{name}") if name else None
    return batch if isinstance(batch, Batch) else None


def _sides(batch: Batch | None, review: Review | None) -> tuple[Sides | None, str]:
    """The dry sides: the green brick or its mould, less the drying shrinkage where it is known."""
    if batch is None:
        return None, ""
    for size, word in ((batch.green, "green"), (batch.mould, "mould")):
        sides = _whole(size)
        if sides is not None:
            shrunk = (review.number("linear_drying_shrinkage") if review else None) or 0.0
            part = 1 - min(max(shrunk, 0.0), 20.0) / 100
            a, b, c = sorted(side * part for side in sides)
            return (a, b, c), batch.where(word)
    return None, ""


def _whole(size: Size | None) -> Sides | None:
    if size is None:
        return None
    sides = [side for side in (size.length, size.width, size.height) if side]
    values = [side.value for side in sides if not side.is_bound and side.value > 0]
    return (values[0], values[1], values[2]) if len(values) == 3 else None


def _moisture(
    item: Load, batch: Batch | None, review: Review | None, lit: datetime | None
) -> tuple[Three, Input, bool]:
    """Water when lit: as written of the load, else by the weighings before it was lit."""
    stated = item.moisture
    if stated is not None and not stated.is_bound and stated.value <= MOST_WATER:
        wide = max(stated.half, 0.3)
        three = (max(stated.value - wide, 0.0), stated.value, stated.value + wide)
        return three, Input(f"moisture of {item.batch}", stated.text, stated.where), True
    if item.refired:
        dry = "fired bricks kept dry, from memory"
        return REFIRED_WATER, Input(f"moisture of {item.refired}", "0 to 1.5 %", "", dry), False
    found = _weighed(batch, review, lit) if batch and review else None
    if found is not None and batch is not None:
        values, wide, where = found
        mean = sum(values) / len(values)
        three = (max(min(values) - wide, 0.0), max(mean, 0.0), max(max(values) + wide, 0.0))
        text = f"{mean:.1f} %, the wettest {max(values):.1f} %"
        return three, Input(f"moisture of {batch.name}", text, where), True
    low, _, high = UNKNOWN_WATER
    return (
        UNKNOWN_WATER,
        Input(
            f"moisture of {item.batch}",
            f"{low:g} to {high:g} %",
            "",
            "not weighed; common practice",
        ),
        False,
    )


def _weighed(
    batch: Batch, review: Review, lit: datetime | None
) -> tuple[list[float], float, str] | None:
    """Moisture of each marked brick [%] when lit, its half-width, and where that stands."""
    result = review.get("moisture")
    wide = 0.3 + ((result.plus_minus or 0.0) if result else 0.0)
    before = [line for line in _weighings(batch) if lit is None or line.at <= lit]
    masses = review.facts.get("dry_masses") or {}
    if lit is not None and len(before) < len(_weighings(batch)) and masses:
        last = {str(line.brick): line for line in before}
        values = [
            100 * (line.mass.value / masses[name] - 1)
            for name, line in last.items()
            if line.mass and masses.get(name)
        ]
        if values:
            return values, wide, before[-1].where
    if result is None:
        return None
    values = [float(v) for v in result.each.values() if v is not None] or [result.number]
    return values, wide, result.from_[-1] if result.from_ else batch.path


def _weighings(batch: Batch) -> list[BatchLine]:
    """The weighings of unfired marked bricks."""
    lines = (line for line in batch.log if isinstance(line, BatchLine))
    return [line for line in lines if line.brick and line.mass and not line.firing]


def _brick_mass(
    batch: Batch | None, review: Review | None, sides: Sides | None
) -> tuple[float | None, float, Input | None]:
    """Dry mass of one brick, kg, with its half-width."""
    found = _from_review(review)
    if found is not None and batch is not None:
        return found[0], found[1], Input("dry mass of a brick", f"{found[0]:.2f} kg", batch.path)
    wet = _mean_marked(batch)
    oven = batch.oven_dry if batch else None
    if wet and batch and oven and oven.wet_mass and oven.dry_mass and oven.wet_mass.value > 0:
        mass = wet * oven.dry_mass.value / oven.wet_mass.value
        return mass, 0.02 * mass, Input("dry mass of a brick", f"{mass:.2f} kg", batch.path)
    if wet and batch:
        mass = wet / 1.25
        return mass, 0.07 * mass, Input(
            "dry mass of a brick", f"{mass:.2f} kg", batch.path,
            "moulded mass less 20 to 30 % water of the dry mass, from memory",
        )  # fmt: skip
    if sides is not None:
        mass = sides[0] * sides[1] * sides[2] * DRY_DENSITY.middle
        return (
            mass,
            0.11 * mass,
            Input("dry mass of a brick", f"{mass:.2f} kg", "", f"its size at {DRY_DENSITY.source}"),
        )
    return None, 0.0, None


def _from_review(review: Review | None) -> tuple[float, float] | None:
    """The dry mass that the review of the batch found, kg; the same routes as its moisture."""
    masses = review.facts.get("dry_masses") if review else None
    values = [float(v) for v in dict(masses).values() if v] if masses else []
    if not values:
        return None
    mean = sum(values) / len(values)
    return mean, max(max(values) - min(values), 0.01 * mean) / 2


def _mean_marked(batch: Batch | None) -> float | None:
    if batch is None:
        return None
    masses = [row.mass.value for row in batch.marked.values() if row.mass and not row.mass.is_bound]
    return sum(masses) / len(masses) if masses else None


def _peak_limit(lots: tuple[Lot, ...], context: Context) -> tuple[float, Input]:
    """The least `peak_limit` of the mixes in the load."""
    found: list[tuple[float, Input]] = []
    for lot in lots:
        review = context.review(lot.mix.address) if lot.mix else None
        limit = review.get("peak_limit") if review else None
        if limit is not None and lot.mix is not None:
            where = limit.from_[0] if limit.from_ else lot.mix.path
            said = Input(f"peak limit of {lot.mix.name}", f"{limit.number:.0f} °C", where)
            found.append((limit.number, said._replace(source=limit.source)))
    default = Input(
        "peak limit", f"{NO_LIMIT:.0f} °C", "", "common red clay softens from 900 to 1250 °C"
    )
    return min(found, key=lambda pair: pair[0], default=(NO_LIMIT, default))
