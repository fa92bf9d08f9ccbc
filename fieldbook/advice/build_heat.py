"""Heat through a hot build: what it loses, how hot its outside gets, how long it takes to warm."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from fieldbook.advice.build_count import Pieces
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc import lining
from fieldbook.errors import NotPossible
from fieldbook.records import Build

NAMES = {
    "heat_loss": "W/m²",
    "cold_face_temperature": "°C",
    "warm_up_time": "h",
    "heat_stored": "MJ/m²",
}
BRICK = (0.675, 0.78, 1.02)
"""[W/(m K)] Building brick of 1600 to 2080 kg/m³: ASHRAE, as in the library ht."""
BRICK_SOURCE = "building brick of 1600 to 2080 kg/m³, ASHRAE: 0.68 to 1.02"
AIR = 20.0
"""[°C] Round it, where the maker wrote none; common practice."""
SOURCE = (
    "Coulson & Richardson, Chemical Engineering vol. 1, ch. 9; outer face: 8 W/(m² K) and "
    "emissivity 0.9, from memory"
)


def add(review: Review, build: Build, pieces: Pieces) -> None:
    """The four results, or what they need."""
    hot = build.hot_face
    if hot is None or hot.is_bound:
        for name, unit in NAMES.items():
            review.add(Result(name=name, value=None, unit=unit, needs=("hot_face",)))
        return
    layers, inputs, needs = _layers(build, pieces)
    if needs:
        for name, unit in NAMES.items():
            review.add(Result(name=name, value=None, unit=unit, needs=needs, inputs=inputs))
        return
    inputs = (Input("hot face", hot.text, hot.where), _air_input(build), *inputs)
    air = build.surroundings
    cold = air.value if air is not None and not air.is_bound else AIR
    radius = _radius(build)
    try:
        values = [_values(each, hot.value, cold, radius) for each in layers]
    except NotPossible as refusal:
        review.question("hot_face", str(refusal), "Correct hot_face or surroundings.")
        for name, unit in NAMES.items():
            review.add(Result(name=name, value=None, unit=unit, because=str(refusal)))
        return
    for name, unit in NAMES.items():
        _add(review, name, unit, [value[name] for value in values], inputs)


def _add(
    review: Review, name: str, unit: str, values: list[float], inputs: tuple[Input, ...]
) -> None:
    low, middle, high = values
    ends = sorted((low, high))
    review.add(
        Result(
            name=name,
            value=middle,
            unit=unit,
            low=min(ends[0], middle),
            high=max(ends[1], middle),
            method={
                "heat_loss": "through all layers to the air, a square metre of the hot face",
                "cold_face_temperature": "where the outer face gives its heat to the air",
                "warm_up_time": "until a tenth of the way to steady heat is left; an order of size",
                "heat_stored": "in all layers above the air, a square metre of the hot face",
            }[name],
            source=SOURCE if name != "warm_up_time" else "Carslaw & Jaeger, Conduction of Heat",
            formula={
                "heat_loss": "q = (T1 - Tn) / sum(L/k); k at the mean temperature of each layer",
                "cold_face_temperature": "q = h (Ts - Ta) + e s (Ts^4 - Ta^4)",
                "warm_up_time": "t = ln(10) 4 R C / pi^2",
                "heat_stored": "sum of L rho c (T_mean - Ta)",
            }[name],
            inputs=inputs,
            from_=tuple(dict.fromkeys(given.where for given in inputs if given.where)),
        )
    )


def _air_input(build: Build) -> Input:
    air = build.surroundings
    if air is not None and not air.is_bound:
        return Input("air round it", air.text, air.where)
    return Input("air round it", f"{AIR:g} °C", "", "where nothing is written")


def _radius(build: Build) -> float | None:
    across = build.inside_diameter
    if build.form != "cylinder" or across is None or across.is_bound:
        return None
    return across.value / 2


def _values(
    layers: list[lining.Layer], hot: float, air: float, radius: float | None
) -> dict[str, float]:
    wall = lining.wall_in_air(layers, hot, air, radius)
    inner = 1.0 if radius is None else 2 * math.pi * radius
    return {
        "heat_loss": wall.flux / inner,
        "cold_face_temperature": wall.faces[-1],
        "warm_up_time": lining.warm_up_time(layers),
        "heat_stored": wall.stored / inner / 1e6,
    }


def _layers(
    build: Build, pieces: Pieces
) -> tuple[list[list[lining.Layer]], tuple[Input, ...], tuple[str, ...]]:
    """The layers with low, middle and high conductivity, their inputs, and what they lack."""
    if not build.layers:
        return _of_its_bricks(pieces)
    sets: list[list[lining.Layer]] = [[], [], []]
    inputs: list[Input] = []
    needs: list[str] = []
    for number, layer in enumerate(build.layers, 1):
        name = layer.material or f"layer {number}"
        thick = layer.thickness
        if thick is None or thick.is_bound or thick.value <= 0:
            needs.append(f"layers.{number}.thickness")
            continue
        inputs.append(Input(f"thickness of {name}", thick.text, thick.where))
        ends = _conductivity(layer, name, inputs)
        if ends is None:
            needs.append(f"layers.{number}.conductivity")
            continue
        for some, value in zip(sets, ends, strict=True):
            some.append(lining.Layer(name, thick.value, value))
    return sets, tuple(inputs), tuple(needs)


def _conductivity(layer: Any, name: str, inputs: list[Input]) -> tuple[float, float, float] | None:
    given = layer.conductivity
    if given is not None and not given.is_bound and given.value > 0:
        inputs.append(Input(f"conductivity of {name}", given.text, given.where))
        low = max(given.value - given.half, 0.1 * given.value)
        return low, given.value, given.value + given.half
    if "brick" in name.casefold():
        inputs.append(Input(f"conductivity of {name}", f"{BRICK[1]} W/(m K)", "", BRICK_SOURCE))
        return BRICK
    return None


def _of_its_bricks(
    pieces: Pieces,
) -> tuple[list[list[lining.Layer]], tuple[Input, ...], tuple[str, ...]]:
    """The bricks of the build alone, where it names no layers."""
    width = pieces.brick["width"]
    if not width.there:
        return [], (), ("layers", *width.needs)
    wall = lining.Layer("its bricks", pieces.leaves * width.value, BRICK[1])
    sets = [[replace(wall, conductivity=value)] for value in BRICK]
    given = Input("conductivity of its bricks", f"{BRICK[1]} W/(m K)", "", BRICK_SOURCE)
    return sets, (*width.inputs, given), ()
