"""Trial bars, from wet to fired: their readings, what cannot be right, and what follows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, reading, work
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.calc import absorption, moisture, porosity, shrinkage, strength
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.frozen import frozen
from fieldbook.records import Bar, Clay, Mix

WORDS = {
    "wet": "length as moulded",
    "dry": "length dry",
    "fired": "length fired",
    "wet_mass": "mass as moulded",
    "dry_mass": "mass dry",
    "fired_mass": "mass fired",
    "soaked_mass": "mass after 24 h in cold water",
    "boiled_mass": "mass after the boil",
    "suspended_mass": "mass hung in water",
    "fired_at": "hottest it was",
    "breaking_load": "load that broke it",
    "span": "span",
    "width": "width",
    "height": "height",
}
SPOILT = ("bent", "bloated", "stuck")
"""A bar that went so tells the limit of its clay, and no length to reckon with."""


@frozen
class TrialBar:
    """One bar with its readings as numbers."""

    name: str
    bar: Bar
    readings: Mapping[str, Known]
    where: str
    wrong: frozenset[str] = frozenset()
    """Readings that contradict another one."""

    def take(self, *fields: str) -> tuple[Known, ...]:
        """Readings for one formula; none where they contradict each other or the bar is spoilt."""
        spoilt = self.bar.went in SPOILT and "fired" in fields
        if spoilt or len(self.wrong.intersection(fields)) > 1:
            return tuple(missing() for _ in fields)
        return tuple(self.readings[field] for field in fields)


def bars_of(entry: Clay | Mix, review: Review, context: Context) -> dict[str, TrialBar]:
    """The trial bars of a clay or a mix; contradictions are pointed out once."""
    found = {}
    for name, bar in entry.bars.items():
        where = entry.where(f"bars.{name}")
        numbers = {
            field: reading(context, getattr(bar, field), f"{words} of bar {name}", field)
            for field, words in WORDS.items()
        }
        found[name] = TrialBar(name, bar, numbers, where, _question(name, bar, numbers, review))
    return found


LATER_IS_LESS = (
    ("wet", "dry", "longer dry than as moulded", "a bar shrinks as it dries"),
    ("dry", "fired", "longer fired than dry", "a bar that is not bloated shrinks in the fire"),
    ("wet_mass", "dry_mass", "heavier dry than as moulded", "a bar loses water as it dries"),
    ("dry_mass", "fired_mass", "heavier fired than dry", "a bar loses mass in the fire"),
    ("soaked_mass", "fired_mass", "soaked lighter than dry", "a fired bar takes up water"),
    ("boiled_mass", "fired_mass", "boiled lighter than dry", "a fired bar takes up water"),
    ("boiled_mass", "soaked_mass", "boiled lighter than soaked", "the boil fills more pores"),
    ("fired_mass", "suspended_mass", "heavier hung in water than dry", "water bears part of it"),
)
"""Of two readings the first must be the greater; what is said where it is not, and why."""


def _question(name: str, bar: Bar, numbers: Mapping[str, Known], review: Review) -> frozenset[str]:
    wrong: set[str] = set()
    for greater, less, what, why in LATER_IS_LESS:
        one, other = numbers[greater], numbers[less]
        if not (one.there and other.there) or one.value >= other.value:
            continue
        if less == "fired" and bar.went == "bloated":
            continue
        texts = f"({_label(less)} {other.text}, {_label(greater)} {one.text})"
        remedy = f"Measure it again: {why}. Or see whether two bars changed places."
        review.question_at(other.where, f"bar {name}: {what} {texts}", remedy)
        wrong.update((greater, less))
    return frozenset(wrong)


def _label(field: str) -> str:
    return field.replace("_", " ")


# --- what follows ---


def each(bars: Mapping[str, TrialBar], find: Callable[[TrialBar], Known]) -> dict[str, Known]:
    """One value for each bar."""
    found: dict[str, Known] = {}
    for name, bar in bars.items():
        try:
            found[name] = find(bar)
        except (NotPossible, OutOfRange):
            found[name] = missing()
    return found


def total_shrinkages(bars: Mapping[str, TrialBar]) -> dict[str, Known]:
    """Shrinkage of each sound bar from wet to fired."""

    def find(bar: TrialBar) -> Known:
        wet, fired = bar.take("wet", "fired")
        return work(shrinkage.total_shrinkage, wet_length=wet, fired_length=fired)

    return each(bars, find)


def add_shrinkages(review: Review, bars: Mapping[str, TrialBar]) -> None:
    """Shrinkage in drying, in firing and in all, and of the volume, with the basis of each."""

    def by(formula: Any, before: str, after: str) -> dict[str, Known]:
        def find(bar: TrialBar) -> Known:
            first, second = bar.take(before, after)
            return work(formula, **{f"{before}_length": first, f"{after}_length": second})

        return each(bars, find)

    drying = by(shrinkage.drying_shrinkage, "wet", "dry")
    firing = by(shrinkage.firing_shrinkage, "dry", "fired")
    total = total_shrinkages(bars)
    fired = {"fired_at": fired_at(bars)} if fired_at(bars) else {}
    _add(
        review, "linear_drying_shrinkage", drying, "%", shrinkage.drying_shrinkage,
        extra={"basis": "wet length"},
    )  # fmt: skip
    _add(
        review, "linear_firing_shrinkage", firing, "%", shrinkage.firing_shrinkage,
        extra={"basis": "dry length", **fired},
    )  # fmt: skip
    _add(
        review, "total_linear_shrinkage", total, "%", shrinkage.total_shrinkage,
        extra={"basis": "wet length", **fired},
    )  # fmt: skip
    _add_volume_shrinkage(review, drying, total, fired)


def _add_volume_shrinkage(
    review: Review, drying: dict[str, Known], total: dict[str, Known], fired: dict[str, Any]
) -> None:
    to_fired = any(part.there for part in total.values())
    linear = total if to_fired else drying

    def find(name: str) -> Known:
        return work(shrinkage.volume_shrinkage, linear=linear[name])

    values = {
        name: find(name) if part.there else missing(*part.needs) for name, part in linear.items()
    }
    words = "wet to fired" if to_fired else "wet to dry"
    extra = {"basis": f"wet volume, {words}", **(fired if to_fired else {})}
    _add(review, "volume_shrinkage", values, "%", shrinkage.volume_shrinkage, extra=extra)


def add_water_and_loss(review: Review, bars: Mapping[str, TrialBar]) -> None:
    """Water of plasticity of the bars."""

    def water(bar: TrialBar) -> Known:
        wet, dry = bar.take("wet_mass", "dry_mass")
        return work(moisture.water_of_plasticity, wet_mass=wet, dry_mass=dry)

    _add(
        review, "water_of_plasticity", each(bars, water), "%", moisture.water_of_plasticity,
        extra={"basis": "dry mass"},
    )  # fmt: skip


def ignition_losses(bars: Mapping[str, TrialBar]) -> dict[str, Known]:
    """What each bar lost between dry and fired."""

    def loss(bar: TrialBar) -> Known:
        if len(bar.wrong.intersection(("dry_mass", "fired_mass"))) > 1:
            return missing()
        dry, fired = bar.readings["dry_mass"], bar.readings["fired_mass"]
        return work(moisture.loss_on_ignition, dry_mass=dry, ignited_mass=fired)

    return each(bars, loss)


def add_fired_properties(review: Review, bars: Mapping[str, TrialBar]) -> None:
    """Water, pores and bending strength of the fired bars, where somebody measured them."""

    def up(field: str) -> Callable[[TrialBar], Known]:
        def find(bar: TrialBar) -> Known:
            dry, wet = bar.take("fired_mass", field)
            return work(absorption.water_absorption, dry_mass=dry, soaked_mass=wet)

        return find

    def coefficient(bar: TrialBar) -> Known:
        dry, soaked, boiled = bar.take("fired_mass", "soaked_mass", "boiled_mass")
        formula = absorption.saturation_coefficient
        return work(formula, dry_mass=dry, soaked_mass=soaked, boiled_mass=boiled)

    def rupture(bar: TrialBar) -> Known:
        load, span, width, height = bar.take("breaking_load", "span", "width", "height")
        return work(
            strength.modulus_of_rupture, load=load, span=span, width=width, depth=height
        )  # fmt: skip

    fired = {"fired_at": fired_at(bars)}
    for name, find, unit, formula in (
        ("cold_absorption", up("soaked_mass"), "%", absorption.water_absorption),
        ("boiling_absorption", up("boiled_mass"), "%", absorption.water_absorption),
        ("saturation_coefficient", coefficient, "1", absorption.saturation_coefficient),
        ("apparent_porosity", _pores(porosity.apparent_porosity), "%", None),
        ("bulk_density", _pores(porosity.bulk_density), "g/cm³", porosity.bulk_density),
        ("modulus_of_rupture", rupture, "MPa", strength.modulus_of_rupture),
    ):
        values = each(bars, find)
        if any(part.there for part in values.values()):
            told = formula or porosity.apparent_porosity
            _add(review, name, values, unit, told, extra=fired)


def _pores(formula: Any) -> Callable[[TrialBar], Known]:
    def find(bar: TrialBar) -> Known:
        saturated = "boiled_mass" if bar.readings["boiled_mass"].there else "soaked_mass"
        dry, wet, hung = bar.take("fired_mass", saturated, "suspended_mass")
        return work(formula, dry_mass=dry, saturated_mass=wet, hung_mass=hung)

    return find


def fired_at(bars: Mapping[str, TrialBar]) -> dict[str, float]:
    """The hottest each bar was [°C], where that is written."""
    return {
        name: bar.readings["fired_at"].value
        for name, bar in bars.items()
        if bar.readings["fired_at"].there
    }


def spoilt(bars: Mapping[str, TrialBar]) -> Iterator[TrialBar]:
    """Bars that bloated, bent or stuck, the coolest first; only those with a temperature."""
    gone = [
        bar for bar in bars.values() if bar.bar.went in SPOILT and bar.readings["fired_at"].there
    ]
    return iter(sorted(gone, key=lambda bar: bar.readings["fired_at"].value))


def _add(
    review: Review,
    name: str,
    values: dict[str, Known],
    unit: str,
    formula: Any,
    *,
    extra: Mapping[str, Any] | None = None,
) -> Result:
    """Take up a sample of bars; where nothing is known of it, with what it needs."""
    result = sample(name, values or {"": missing("bars")}, unit, formula, extra=extra)
    if not result.known and not result.needs:
        result = result.but(because="the measurements of the bars contradict each other")
    return review.add(result)
