"""How a thing was made: what its maker did, apart from what was seen and what came out.

Names of entries are the maker's own, so one looks through them: a firing is told by the mix and the
moisture of what was set, not by what its batch is called.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.quantities import Amount
from fieldbook.quantities.table import CANONICAL
from fieldbook.records import Batch, Clay, Firing, Fuel, Mix, Spec, Test, attribute, specs
from fieldbook.report.fire_curve import traits
from fieldbook.report.values import spell

UNIT_OF = {
    "length": "m",
    "mass": "kg",
    "volume": "m³",
    "temperature": "°C",
    "air_temperature": "°C",
    "difference": "K",
    "rate": "K/h",
    "percent": "%",
    "time": "h",
    "density": "kg/m³",
    "force": "N",
}
"""The unit of a value of each dimension; of any other that of its table."""
NOT_DONE = frozenset({"title", "maker", "note", "tags", "private", "unloaded", "oven_dry", "load"})
"""Fields that say what was seen, or that are told in a better way."""
SEEN_OF_CLAY = frozenset(specs(Clay)) - {"place", "depth"}
"""What is written of a clay is what was found, but for where it was dug."""
OF_BRICKS = frozenset({"count", "capacity"})
"""Counts whose name does not say that they are of bricks."""
INTENDED = ("plan", "target_moisture", "no_hotter_than", "soaked_for", "boiled_for")
"""Fields that say what was wanted: no measurement, so without an error."""


SHARE = "share of "
"""What stands before the name of a part of a mix."""


class Trait(NamedTuple):
    """One thing that was done, or found."""

    result: Result
    amount: Amount | None = None
    """As the maker wrote it."""

    @property
    def name(self) -> str:
        """What it is."""
        return self.result.name


Way = dict[str, Trait]
"""How a thing was made, by name, in the order of the work."""


def way_of(review: Review, context: Context) -> Way:
    """All that its maker did."""
    entry = review.entry
    but = NOT_DONE | (SEEN_OF_CLAY if isinstance(entry, Clay) else frozenset())
    but |= {"mix"} if isinstance(entry, Batch) else set()
    found = [*_made_of(review, context), *_fields(entry, type(entry), context, but)]
    return {trait.name: trait for trait in found}


def findings_of(review: Review, context: Context) -> Way:
    """What was found and written in fields of its own, as the maker of a clay does."""
    if not isinstance(review.entry, Clay):
        return {}
    found = _fields(review.entry, Clay, context, NOT_DONE | {"place", "depth"})
    return {trait.name: trait for trait in found}


def _made_of(review: Review, context: Context) -> Iterator[Trait]:
    """What stands behind an entry: its mix, what was set in the kiln, how the fire was led."""
    entry = review.entry
    if isinstance(entry, Mix):
        for name, share in shares(entry).items():
            yield Trait(_number(f"{SHARE}{name}", share[0], "%", share[1]))
    elif isinstance(entry, Batch):
        yield from _mixes([entry], context)
    elif isinstance(entry, Firing):
        yield from _set(entry, context)
        yield from map(Trait, traits(review))
    elif isinstance(entry, Test):
        batch = context.notebook.entry(f"batches/{entry.batch}")
        if isinstance(batch, Batch):
            yield from _mixes([batch], context)
        fired = context.review(f"firings/{entry.firing}") if entry.firing else None
        if fired is not None:
            yield from (Trait(t.but(name=f"firing: {t.name}")) for t in traits(fired))


def _set(firing: Firing, context: Context) -> Iterator[Trait]:
    found = (context.notebook.entry(f"batches/{part.batch}") for part in firing.load)
    batches = [batch for batch in found if isinstance(batch, Batch)]
    yield from _mixes(batches, context)
    moisture = moisture_when_set(firing, context)
    if moisture is not None:
        yield Trait(moisture)
    count = sum(part.count or 0 for part in firing.load)
    if count:
        yield Trait(_number("bricks set", count, None, None))


def moisture_when_set(firing: Firing, context: Context) -> Result | None:
    """Water of the wettest bricks when set [% of the dry mass]: as written, else last weighed."""
    found = []
    for part in firing.load:
        if part.moisture is not None and not part.moisture.is_bound:
            found.append((part.moisture.value, part.moisture.half))
            continue
        review = context.review(f"batches/{part.batch}") if part.batch else None
        weighed = review.get("moisture") if review else None
        if weighed is not None:
            found.append((weighed.number, weighed.plus_minus or 0.0))
    if not found:
        return None
    value, half = max(found)
    return _number("moisture when set", value, "%", half)


def _mixes(batches: list[Batch], context: Context) -> Iterator[Trait]:
    names = dict.fromkeys(batch.mix for batch in batches if batch.mix)
    mixes = [m for name in names if isinstance(m := context.notebook.entry(f"mixes/{name}"), Mix)]
    if mixes:
        said = "; ".join(dict.fromkeys(parts_text(mix) or mix.name for mix in mixes))
        yield Trait(Result(name="mix", value=said, unit=None))


def no_part(name: str) -> Trait | None:
    """Of a part that is not in a mix, none; of anything else that is not written, nothing."""
    return Trait(_number(name, 0.0, "%", None)) if name.startswith(SHARE) else None


def parts_text(mix: Mix) -> str:
    """What a mix is made of, such as `75 % reach, 25 % sand`."""
    found = sorted(shares(mix).items(), key=lambda item: (-item[1][0], item[0]))
    said = [f"{share:.0f} % {name}" for name, (share, _) in found]
    burnt = mix.burn_out
    if burnt is not None and burnt.material:
        said.append(f"{burnt.share.text if burnt.share else ''} {burnt.material}".strip())
    return ", ".join(said)


def shares(mix: Mix) -> dict[str, tuple[float, float]]:
    """Each part's share [%] with how far its measuring leaves it open; by volume or by mass.

    Empty where parts are written in both, since then no share follows without densities.
    """
    amounts: dict[str, Amount] = {}
    for part in mix.parts:
        amount = part.volume or part.mass
        name = part.clay or part.temper
        if amount is None or not name or amount.is_bound:
            return {}
        amounts[name] = amount
    total = sum(amount.value for amount in amounts.values())
    if len({amount.dimension for amount in amounts.values()}) != 1 or total <= 0:
        return {}
    return {
        name: (100 * amount.value / total, 100 * amount.half * (total - amount.value) / total**2)
        for name, amount in amounts.items()
    }


def _number(name: str, value: float, unit: str | None, half: float | None) -> Result:
    return Result(name=name, value=value, unit=unit, plus_minus=half)


def _fields(
    record: Any, kind: type, context: Context, but: frozenset[str], above: str = ""
) -> Iterator[Trait]:
    """The fields that are written, those of tables and lists by the name of both."""
    for field, spec in specs(kind).items():
        value = getattr(record, attribute(field))
        if value is None or field in but or (field == "parts" and shares(record)):
            continue
        name = spell(f"{above} {field}".strip())
        if spec.holds == "table" and spec.of is not None:
            yield from _fields(value, spec.of, context, but, name)
        elif spec.holds == "items" and spec.of is not None:
            yield from _items(value, spec.of, context, but, name)
        else:
            wanted = field in INTENDED or above.startswith(INTENDED)
            yield from _field(name, value, spec, context, is_wanted=wanted)


def _items(
    items: Sequence[Any], kind: type, context: Context, but: frozenset[str], name: str
) -> Iterator[Trait]:
    """The items of a list: fuels by their names, whatever their order; others by their place."""
    if len(items) == 1:
        yield from _fields(items[0], kind, context, but, name)
        return
    names = [item.name for item in items if isinstance(item, Fuel) and item.name]
    if len(set(names)) < len(items):
        for number, item in enumerate(items, 1):
            yield from _fields(item, kind, context, but, f"{name} {number}")
        return
    yield Trait(Result(name=f"{name} name", value=", ".join(sorted(names)), unit=None))
    for item in sorted(items, key=lambda item: str(item.name)):
        yield from _fields(item, kind, context, but | {"name"}, f"{name} {item.name}")


def _field(
    name: str, value: Any, spec: Spec, context: Context, *, is_wanted: bool
) -> Iterator[Trait]:
    if isinstance(value, Amount):
        if value.is_bound:
            yield Trait(Result(name=name, value=value.text, unit=None))
            return
        unit = UNIT_OF.get(value.dimension) or CANONICAL.get(value.dimension)
        half = 0.0 if is_wanted else bounds(value, context)
        yield Trait(Result(name=name, value=value.value, unit=unit, plus_minus=half), value)
    elif spec.holds == "count":
        unit = "bricks" if name in OF_BRICKS else None
        yield Trait(_number(name, value, unit, None))
    elif spec.holds == "flag":
        yield Trait(Result(name=name, value="yes" if value else "no", unit=None))
    elif spec.holds in ("text", "words", "texts", "name"):
        said = ", ".join(value) if isinstance(value, tuple) else value
        yield Trait(Result(name=name, value=said, unit=None))


def bounds(amount: Amount, context: Context) -> float:
    """How far an amount may be out: as written, and by the instrument it was read on."""
    return max(amount.half, 2 * float(context.instruments.variable(amount).s))
