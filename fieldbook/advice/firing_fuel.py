"""Fuel of a firing: what it is, what it gives, how much was put on, what the load takes up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.firing_load import Loaded
from fieldbook.advice.results import Input
from fieldbook.advice.review import Review
from fieldbook.calc import air
from fieldbook.calc.fuel import (
    CHARCOAL_NCV,
    WOOD_NCV,
    WOODS,
    net_calorific_value,
    stacked_mass,
    to_wet_basis,
)
from fieldbook.calc.heat_balance import Load, useful_heat
from fieldbook.calc.uncertainty import expanded, nominal, rectangular
from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import Firing, FiringLine, Fuel

UNKNOWN_MOISTURE = (20.0, 10.0)
"""% of the wet mass and its half-width where no meter was used; air-dry wood, common practice."""


BURNS_BELOW = 80.0
"""% of the wet mass: wetter wood does not burn by itself (Babcock & Wilcox: near 85 %)."""
LEAST_VALUE = 5.0
"""MJ/kg, oven-dry; less is no fuel; common practice."""


@frozen
class FuelKind:
    """One fuel with its heat value as fired."""

    name: str
    index: int
    """Of the row in the file, from 1; 0 where no row says anything."""
    dry_value: Any
    """MJ/kg net, oven-dry, with its uncertainty."""
    moisture: Any
    """% of the wet mass."""
    value: Any
    """MJ/kg net, as fired."""
    density: Any
    """kg/m3 of the measure as filled; None where it is not known."""
    burns: air.Fuel
    inputs: tuple[Input, ...]


def kinds_of(firing: Firing, context: Context) -> list[FuelKind]:
    """The fuels of a firing; plain wood where none is described."""
    rows = firing.fuel or (Fuel(name="wood"),)
    listed = bool(firing.fuel)
    return [_kind(row, i + 1 if listed else 0, context) for i, row in enumerate(rows)]


def _kind(row: Fuel, index: int, context: Context) -> FuelKind:
    name = (row.name or "wood").strip()
    charcoal = "charcoal" in name.casefold()
    dry, dry_input = _dry_value(row, name, charcoal, context)
    moisture, moisture_input = _moisture(row, name, charcoal, context)
    value = net_calorific_value.plain(dry, moisture)
    density, density_input = _density(row, name, float(nominal(moisture)), context)
    inputs = tuple(part for part in (dry_input, moisture_input, density_input) if part)
    base = air.CHARCOAL if charcoal else air.WOOD
    burns = base._replace(net_value=float(nominal(dry)))
    return FuelKind(name, index, dry, moisture, value, density, burns, inputs)


def _dry_value(row: Fuel, name: str, charcoal: bool, context: Context) -> tuple[Any, Input]:
    stated = row.calorific_value
    if stated is not None and not stated.is_bound and stated.value >= LEAST_VALUE:
        number = context.instruments.variable(stated)
        return number, Input(f"heat value of {name}", stated.text, stated.where)
    if charcoal:
        value = rectangular(CHARCOAL_NCV, 4.0, "heat value of charcoal")
        return value, Input(
            f"heat value of {name}", "29 ± 4 MJ/kg", "", "Hedon; stoves.bioenergylists.org"
        )
    low, middle, high = WOOD_NCV
    value = rectangular(middle, (high - low) / 2, "heat value of dry wood")
    return value, Input(
        f"heat value of {name}", f"{low:g} to {high:g} MJ/kg dry", "", "European wood fuel handbook"
    )


def _moisture(row: Fuel, name: str, charcoal: bool, context: Context) -> tuple[Any, Input]:
    written = row.moisture
    if written is not None and not written.is_bound and written.value < BURNS_BELOW:
        number = context.instruments.variable(written)
        return number, Input(f"moisture of {name}", written.text, written.where)
    meter = row.meter
    if meter is not None and not meter.is_bound and meter.value < 100 * BURNS_BELOW / 20:
        wet = to_wet_basis.plain(context.instruments.variable(meter))
        return wet, Input(f"meter on {name}, dry basis", meter.text, meter.where)
    middle, half = (5.0, 3.0) if charcoal else UNKNOWN_MOISTURE
    return rectangular(middle, half, f"moisture of {name}"), Input(
        f"moisture of {name}", f"{middle:g} ± {half:g} %", "", "air-dry; common practice"
    )


def question_fuels(firing: Firing, review: Review) -> None:
    """Point out fuel that holds more water than can burn, and heat values that are none."""
    for i, row in enumerate(firing.fuel):
        path = f"fuel.{i + 1}"
        wet = row.moisture
        if wet is not None and not wet.is_bound and wet.value >= BURNS_BELOW:
            review.question(
                f"{path}.moisture",
                f"{wet.text} of the wet mass is water: such wood does not burn",
                "Write what a pin meter shows as `meter`, or the water of the wet mass.",
            )
        value = row.calorific_value
        if value is not None and not value.is_bound and value.value < LEAST_VALUE:
            review.question(
                f"{path}.calorific_value",
                f"{value.text} is no heat value of a fuel",
                "Write the net value of the oven-dry fuel; wood has 18.5 to 19 MJ/kg.",
            )


def _density(row: Fuel, name: str, moisture: float, context: Context) -> tuple[Any, Input | None]:
    if row.bulk_density is not None and not row.bulk_density.is_bound:
        number = context.instruments.variable(row.bulk_density)
        return number, Input(f"a measure of {name}", row.bulk_density.text, row.bulk_density.where)
    for wood in WOODS:
        if wood.name in name.casefold().split():
            mass = stacked_mass(wood.name, moisture)
            return rectangular(mass, 0.15 * mass, f"stacked {wood.name}"), Input(
                f"a stacked cubic metre of {name}", f"{mass:.0f} kg", "", wood.source
            )
    return None, None


@frozen
class Burnt:
    """What was put on so far."""

    mass: Any = None
    """kg with its uncertainty; None where a line cannot be turned into a mass."""
    heat: Any = None
    """MJ with its uncertainty."""
    by_fuel: dict[str, float] = field(default_factory=dict)
    """kg."""
    measures: dict[str, float] = field(default_factory=dict)
    """How many of each measure, as the maker counts."""
    inputs: tuple[Input, ...] = ()
    needs: tuple[str, ...] = ()
    lines: int = 0

    @property
    def energy(self) -> float | None:
        """MJ."""
        return float(nominal(self.heat)) if self.heat is not None else None


def kind_named(kinds: list[FuelKind], name: str | None) -> FuelKind:
    """The fuel a line means; the first one where it says nothing known."""
    wanted = (name or "").strip().casefold()
    for kind in kinds:
        if kind.name.casefold() == wanted:
            return kind
    for kind in kinds:
        if wanted and (wanted in kind.name.casefold() or kind.name.casefold() in wanted):
            return kind
    return kinds[0]


def burnt_in(firing: Firing, context: Context) -> Burnt:
    """All fuel put on, from the lines of it, else from what is left in the heap; made once."""
    return context.once(_burnt, firing.address)


def _burnt(context: Context, address: str) -> Burnt:
    firing = context.notebook.entry(address)
    assert isinstance(firing, Firing)
    kinds = kinds_of(firing, context)
    rows = list(_put_on(firing)) or list(_taken_from_heap(firing))
    if not rows:
        return Burnt(needs=("log: fuel",))
    mass: Any = 0.0
    heat: Any = 0.0
    by_fuel: dict[str, float] = {}
    measures: dict[str, float] = {}
    inputs: list[Input] = []
    needs: list[str] = []
    for amount, sign, name in rows:
        kind = kind_named(kinds, name)
        weight = mass_of(amount, kind, context)
        if weight is None:
            needs.append(f"fuel.{kind.index}.bulk_density")
            continue
        mass = mass + sign * weight
        heat = heat + sign * weight * kind.value
        by_fuel[kind.name] = by_fuel.get(kind.name, 0.0) + sign * float(nominal(weight))
        measures[amount.unit] = measures.get(amount.unit, 0.0) + sign * _count(amount, context)
        inputs += kind.inputs
        inputs.append(Input(f"{kind.name} put on", amount.text, amount.where))
    if needs:
        return Burnt(needs=tuple(dict.fromkeys(needs)), lines=len(rows))
    return Burnt(mass, heat, by_fuel, measures, tuple(dict.fromkeys(inputs)), (), len(rows))


def _put_on(firing: Firing) -> Iterator[tuple[Amount, int, str | None]]:
    for line in firing.log:
        if isinstance(line, FiringLine) and line.fuel and not line.fuel.is_bound:
            yield line.fuel, 1, line.of_


def _taken_from_heap(firing: Firing) -> Iterator[tuple[Amount, int, str | None]]:
    """The first heap less the last, fuel by fuel; used where no line says what was put on."""
    heaps: dict[str | None, list[Amount]] = {}
    for line in firing.log:
        if isinstance(line, FiringLine) and line.fuel_left and not line.fuel_left.is_bound:
            heaps.setdefault(line.of_, []).append(line.fuel_left)
    for name, amounts in heaps.items():
        if len(amounts) > 1:
            yield amounts[0], 1, name
            yield amounts[-1], -1, name


def mass_of(amount: Amount, kind: FuelKind, context: Context) -> Any:
    """kg of an amount of fuel; None where a volume has no bulk density."""
    number = context.instruments.variable(amount)
    if amount.dimension == "mass":
        return number
    return None if kind.density is None else number * kind.density


def _count(amount: Amount, context: Context) -> float:
    """How many of the unit it was written in."""
    measure = context.notebook.settings.measures.get(amount.unit)
    if measure is not None and measure.value:
        return amount.value / measure.value
    from fieldbook.quantities import convert

    base = "kg" if amount.dimension == "mass" else "m3"
    return float(convert(amount.value, base, amount.unit))


def own_measure(burnt: Burnt, kilograms: float) -> tuple[float, str] | None:
    """A mass in the measure the maker counts in most, from the measures put on so far."""
    total = float(nominal(burnt.mass)) if burnt.mass is not None else 0.0
    if not burnt.measures or total <= 0:
        return None
    unit = max(burnt.measures, key=lambda name: burnt.measures[name])
    if unit == "kg" or len(burnt.measures) > 1:
        return None
    return kilograms / total * burnt.measures[unit], unit


def heat_load(loaded: Loaded) -> Load | None:
    """The load as the heat balance takes it, its clays mixed by mass."""
    total = loaded.dry_mass
    brick = loaded.brick
    if total is None or total <= 0 or brick is None:
        return None
    water = sum((lot.dry_mass or 0.0) * lot.moisture[1] / 100 for lot in loaded.lots)
    burns = sum(
        (lot.dry_mass or 0.0) * _other(lot.carbon[1]) for lot in loaded.lots if not lot.refired
    )
    fresh = sum((lot.dry_mass or 0.0) for lot in loaded.lots if not lot.refired) / total
    return Load(
        dry_mass=total,
        moisture=water / total,
        kaolinite=brick.kaolinite[1] * fresh,
        illite=brick.illite[1] * fresh,
        carbonate=brick.carbonate[1] * fresh,
        other_loss=burns / total,
    )


def _other(carbon: float) -> float:
    """Organic matter by its carbon, which is about half of it (Babcock & Wilcox, table 41)."""
    return carbon / 0.5


def useful_of(loaded: Loaded, peak: float) -> dict[str, float] | None:
    """MJ that ware, free water and reactions take up to a peak, by term."""
    load = heat_load(loaded)
    return useful_heat(load, peak) if load is not None else None


def plus_minus(number: Any) -> float | None:
    """Expanded uncertainty of a number; None where it has none."""
    return expanded(number) or None
