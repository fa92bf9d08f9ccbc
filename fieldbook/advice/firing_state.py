"""The state inside the bricks, place by place, as results."""

from __future__ import annotations

from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.firing_case import FiringCase, case_of
from fieldbook.advice.firing_evidence import take_up
from fieldbook.advice.firing_load import Lot
from fieldbook.advice.firing_readings import KILN, Series
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc import heat_work as work
from fieldbook.calc.firing import FiringState, March, PlaceState
from fieldbook.records import Firing

CONDUCTION = "Carslaw & Jaeger, Conduction of Heat in Solids"
MARCH = (
    "implicit march of the 1-D conduction equation from the readings, the brick's least side with "
    "the box factor or the bench; boiling and reactions as sinks; low and high from the ranges of "
    "the properties"
)


class Shown(NamedTuple):
    """How a quantity of the state is shown."""

    quantity: str
    unit: str
    method: str
    source: str


QUANTITIES = {
    "face_temperature": Shown("face", "°C", MARCH, CONDUCTION),
    "core_temperature": Shown("core", "°C", MARCH, CONDUCTION),
    "lag": Shown("lag", "K", f"face less core: {MARCH}", CONDUCTION),
    "free_water_left": Shown(
        "free_water_left", "%", "of the dry mass at the core: dried as fast as steam pressure and "
        "thickness let it; the drying time at 100 °C is from memory",
        "steam pressure by Clausius-Clapeyron, from the steam tables",
    ),
    "bound_water_left": Shown(
        "bound_water_left", "1", "of kaolinite and illite at the core, first order along its curve",
        "Redfern 1987, Clay Minerals 22, 447, A calibrated; Ondro et al. 2019, arXiv 1902.07088",
    ),
    "carbon_left": Shown(
        "carbon_left", "1", "depth still black over the half thickness: oxygen through the burnt "
        "shell; oxygen, diffusivity and char from memory, so only a broken draw brick settles it",
        "shrinking core in a slab; Levenspiel, Chemical Reaction Engineering, ch. 25",
    ),
    "carbonate_left": Shown(
        "carbonate_left", "1", "of the carbonate at the core, shrinking grains, slowed by the "
        "carbon dioxide of the fire", "doi 10.13264/j.cnki.ysjskx.2016.06.003, 0.9 mm grains",
    ),
    "heat_work": Shown(
        "heat_work", "°C", "the temperature which, held for one hour, does the same work at the "
        "core; 400 kJ/mol, 200 to 600 for low and high", work.SOURCE,
    ),
}  # fmt: skip


def march_on(case: FiringCase) -> None:
    """March every place that was read and whose brick is known, to now."""
    run, last = case.context.once(_marched, case.firing.address)
    if run is not None:
        case.bricks = {place: run.brick_at(place) for place in run.places}
        case.state = run.state(max(case.now, last) if case.phase != "unloaded" else last)


def _marched(context: Context, address: str) -> tuple[March | None, float]:
    """The march to the last reading, which no later hour changes, and the time of that."""
    firing = context.notebook.entry(address)
    assert isinstance(firing, Firing)
    case = case_of(Review(entry=firing), context)
    take_up(case)
    found = {place: case.loaded.brick_at(place) for place in case.log.series}
    bricks = {place: brick for place, brick in found.items() if brick is not None}
    if not bricks:
        return None, 0.0
    readings = {place: case.log.series[place].marched for place in bricks}
    run = March(bricks, reading_every=case.timeline.reading_every)
    run.take_up_all(readings)
    return run, max(float(each.time[-1]) for each in readings.values())


def standing(case: FiringCase) -> FiringState | None:
    """The places with a fresh reading, which alone say what is coldest and hottest now."""
    if case.state is None:
        return None
    fresh = {p: s for p, s in case.state.places.items() if p in case.fresh}
    return FiringState(fresh or case.state.places, case.state.until)


def least_advanced(case: FiringCase) -> PlaceState | None:
    """The place where the least heat-work was done, or the coldest while none was done."""
    if case.state is None:
        return None
    places = case.state.places.values()
    return min(places, key=lambda p: (float(p.work[1, -1]), float(p.core[1].max()), p.place))


def add_state(case: FiringCase) -> None:
    """Temperatures, water, carbon, carbonate and heat-work, each by place."""
    now = standing(case)
    behind = least_advanced(case)
    if now is None or behind is None:
        for name, shown in QUANTITIES.items():
            case.missing(name, shown.unit, *needs_of_state(case))
        return
    coldest = now.coldest
    for name, shown in QUANTITIES.items():
        place = coldest if name in ("face_temperature", "core_temperature", "lag") else behind
        if name == "heat_work" and place.now("heat_work")[1] < place.now("core")[1] - 500:
            case.missing(name, shown.unit, because="no heat-work worth counting is done yet")
            continue
        case.add(_result(case, name, shown, place))
    _free_water_mass(case)
    _black_depth(case, behind)
    _spread(case, now)


def needs_of_state(case: FiringCase) -> tuple[str, ...]:
    """What the march lacks; empty where it has all."""
    if case.loaded.brick is None:
        return case.loaded.needs or ("load",)
    return ("log: temperature",) if not case.log.series else ()


def _result(case: FiringCase, name: str, shown: Shown, place: PlaceState) -> Result:
    assert case.state is not None
    low, value, high = (_plain(part) for part in place.now(shown.quantity))
    places = case.state.places
    several = len(places) > 1
    extra: dict[str, object] = {"place": place.place}
    if several:
        extra["low_each"] = {n: _plain(p.now(shown.quantity)[0]) for n, p in places.items()}
        extra["high_each"] = {n: _plain(p.now(shown.quantity)[2]) for n, p in places.items()}
    if place.bridged and name in ("face_temperature", "core_temperature"):
        extra["bridged"] = [
            {"from": case.moment(a).isoformat(), "to": case.moment(b).isoformat()}
            for a, b in place.bridged
        ]
    series = case.log.series[place.place]
    return Result(
        name=name,
        value=value,
        unit=shown.unit,
        low=low,
        high=high,
        each=by_place({n: _plain(p.now(shown.quantity)[1]) for n, p in places.items()}),
        extra=extra,
        method=f"{shown.method}{how_read(series)}",
        source=shown.source,
        from_=tuple(dict.fromkeys((series.last.where,))),
        inputs=state_inputs(case, series),
        age=place.age,
    )


def _plain(value: float) -> float:
    """A number without the traces that an exponential leaves."""
    return 0.0 if abs(value) < 1e-6 else value


def by_place(values: dict[str, float]) -> dict[str, float]:
    """Values by place, where the places have names."""
    return {} if set(values) == {KILN} else values


def how_read(series: Series) -> str:
    """What the readings are of, for a method."""
    if series.kind != "thermometer":
        return "; from the colour of the glow, no thermometer"
    said = (
        "" if any(reading.said for reading in series.readings) else ", not stated so taken as gas"
    )
    if series.probe == "gas":
        return f"; the reading is of the gas{said}, carried to the face by a film coefficient"
    return f"; the reading is of the {series.probe}"


def state_inputs(case: FiringCase, series: Series) -> tuple[Input, ...]:
    """The newest reading, the brick and what else the march rests on."""
    lots = case.loaded.at(series.place)
    last = series.last
    inputs = [Input(f"reading at {series.place}", last.text, last.where)]
    inputs += [_size_input(lot) for lot in lots if lot.sides]
    if case.loaded.bench:
        inputs.append(Input("bench", f"{case.loaded.bench * 1000:.0f} mm", case.loaded.bench_where))
    inputs += [lot.moisture_from for lot in lots]
    inputs.append(Input("diffusivity", "2e-7 to 6e-7 m2/s", "", "kaolin body to fired brick"))
    return tuple(dict.fromkeys(inputs))


def _size_input(lot: Lot) -> Input:
    assert lot.sides is not None
    a, b, c = (side * 1000 for side in lot.sides)
    return Input(f"dry brick of {lot.name}", f"{c:.0f} x {b:.0f} x {a:.0f} mm", lot.size_from)


def _free_water_mass(case: FiringCase) -> None:
    """Add the water left in the whole load, kg."""
    assert case.state is not None
    found = case.review.results["free_water_left"]
    total = [0.0, 0.0, 0.0]
    for lot in case.loaded.lots:
        mass = lot.dry_mass
        if mass is None:
            return
        for i in range(3):
            total[i] += mass / 100 * _mean_water(case, lot, i)
    extra = {
        **found.extra,
        "kg": _plain(total[1]),
        "kg_low": _plain(total[0]),
        "kg_high": _plain(total[2]),
        "mean": case.state.places[str(found.extra["place"])].now("free_water_mean")[1],
    }
    case.add(found.but(extra=extra))


def _mean_water(case: FiringCase, lot: Lot, bound: int) -> float:
    """% of the dry mass left in the bricks of a row; as wet as they were of the wettest there."""
    assert case.state is not None
    places = case.state.places
    here = [places[lot.place]] if lot.place in places else list(places.values())
    left = sum(p.now("free_water_mean")[bound] for p in here) / len(here)
    wettest = max(row.moisture[bound] for row in case.loaded.at(here[0].place))
    return left * (lot.moisture[bound] / wettest if wettest > 0 else 1.0)


def _black_depth(case: FiringCase, place: PlaceState) -> None:
    """Add how deep the core is still black, mm; what a broken draw brick showed replaces it."""
    found = case.review.results["carbon_left"]
    half = case.bricks[place.place].thickness / 2 * 1000
    low, value, high = place.now("carbon_left")
    extra = {**found.extra, "black_depth_mm": value * half}
    drawn = [line for line in case.firing.log if getattr(line, "core", None)]
    if drawn:
        seen, where = str(drawn[-1].core), drawn[-1].where  # type: ignore[attr-defined]
        extra["draw_core"] = seen
        if seen == "even":
            found = found.but(
                value=0.0, low=0.0, high=0.0, each={}, from_=(where,),
                method="a broken draw brick shows an even core",
            )  # fmt: skip
            extra["black_depth_mm"] = 0.0
        elif value <= 0.02:
            found = found.but(value=max(value, (low + high) / 2), from_=(where,))
    case.add(found.but(extra=extra))


def _spread(case: FiringCase, now: FiringState) -> None:
    if case.phase in ("opened", "unloaded"):
        _spread_of_peaks(case)
        return
    spread = now.spread
    if spread is None:
        case.missing("spread", "K", "log: temperature at a second place")
        return
    hottest = now.hottest
    coldest = min(now.places.values(), key=lambda p: (p.now("face")[1], p.place))
    halves = [case.log.series[p.place].last.step for p in (hottest, coldest)]
    case.add(
        Result(
            name="spread",
            value=spread,
            unit="K",
            plus_minus=(halves[0] ** 2 + halves[1] ** 2) ** 0.5,
            extra={"hottest": hottest.place, "coldest": coldest.place},
            method="hottest face less coldest face; one thermometer's own error cancels",
            source="difference of the readings carried to the faces",
            from_=tuple(case.log.series[p.place].last.where for p in (hottest, coldest)),
            age=case.age,
        )
    )


def _spread_of_peaks(case: FiringCase) -> None:
    tops = {p: max(s.readings, key=lambda r: r.value) for p, s in case.log.series.items()}
    if len(tops) < 2:
        case.missing("spread", "K", "log: temperature at a second place")
        return
    hot = max(tops, key=lambda p: (tops[p].value, p))
    cold = min(tops, key=lambda p: (tops[p].value, p))
    case.add(
        Result(
            name="spread",
            value=tops[hot].value - tops[cold].value,
            unit="K",
            plus_minus=(tops[hot].step ** 2 + tops[cold].step ** 2) ** 0.5,
            extra={"hottest": hot, "coldest": cold},
            method="peak at the hottest place less that at the coldest",
            from_=(tops[hot].where, tops[cold].where),
        )
    )


def add_heat_work_left(case: FiringCase) -> None:
    """Minutes at the present temperature until the heat-work wanted is done at the core."""
    behind = least_advanced(case)
    peak = case.peak_wanted
    if behind is None or peak is None:
        needs = ("plan.peak",) if peak is None else needs_of_state(case)
        case.missing("heat_work_left", "min", *needs)
        return
    if case.timeline.past_peak:
        case.missing("heat_work_left", "min", because="the fire is let go")
        return
    wanted = work.wanted_temperature(peak, case.hold_wanted)
    core = behind.now("core")
    done = float(behind.work[1, -1])
    left = work.time_left(done, peak, case.hold_wanted, core[1]) * 60
    slow = work.time_left(float(behind.work[0, -1]), peak, case.hold_wanted, core[0]) * 60
    quick = work.time_left(float(behind.work[2, -1]), peak, case.hold_wanted, core[2]) * 60
    far = left > 7 * 24 * 60
    case.add(
        Result(
            name="heat_work_left",
            value=None if far else left,
            unit="min",
            low=None if far else quick,
            high=None if far or slow > 30 * 24 * 60 else slow,
            extra={"wanted": wanted, "at": core[1], "place": behind.place},
            because=f"at {core[1]:.0f} °C it would never get there: climb on" if far else "",
            method="heat-work wanted less heat-work done, over its rate at the present core",
            source=work.SOURCE,
            formula="t = (W_wanted - W) / exp(-E / (R T))",
            from_=(case.log.series[behind.place].last.where,),
            inputs=case.plan_inputs,
            age=behind.age,
        )
    )
