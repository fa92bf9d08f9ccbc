"""The march: temperature, water and minerals inside half a slab, step by step.

Conduction is taken exactly over each step, mode by mode, for a face that moves on a straight line;
where the reading is of the gas, the face at the end of the step is solved for, implicitly. What
boils or decomposes takes up heat at the mean temperature of the step. All places on one grid of
times and all parameter sets go through a step together, as arrays (place, set, node).
"""

from typing import NamedTuple

import numpy as np

from fieldbook.calc.conduction import STEFAN_BOLTZMANN, modes
from fieldbook.calc.kinetics import GAS_CONSTANT, drive_of_carbonate
from fieldbook.calc.properties import ZERO_CELSIUS, michot_specific_heat

CELLS = 16
HOTTEST_KNOWN = 1373.15  # K; above it the specific heat is held at its last known value
COLDEST_KNOWN = 290.0


class Body(NamedTuple):
    """What is marched, each an array (place, set); reactions (reaction, place, set)."""

    half_thickness: np.ndarray  # m
    green_diffusivity: np.ndarray  # m2/s, the box factor in it
    fired_diffusivity: np.ndarray
    density: np.ndarray  # kg/m3
    exposure: np.ndarray  # face of the brick over that of the slab that stands for it
    convection: np.ndarray  # W/(m2 K)
    emissivity: np.ndarray
    gas: np.ndarray  # 1 where the reading is of the gas, 0 where it is of the face
    ln_frequency: np.ndarray  # ln(1/s)
    activation: np.ndarray  # K
    heat: np.ndarray  # J per kg of dry brick for the whole reaction
    carbonate_ln_frequency: np.ndarray
    carbonate_activation: np.ndarray
    carbonate_heat: np.ndarray
    carbonate_gas: np.ndarray  # atm of carbon dioxide
    sign: np.ndarray  # -1, 0, 1: which way the reactions see an uncertain temperature


class Inside(NamedTuple):
    """The state at one moment; never changed in place."""

    modes: np.ndarray  # (place, set, mode)
    face: np.ndarray  # (place, set), degC
    nodes: np.ndarray  # (place, set, node), degC, face left out
    drift: np.ndarray  # (place, set, node), K/s
    sink: np.ndarray  # (place, set, node), K/s
    left: np.ndarray  # (reaction, place, set, node), 0 to 1
    root: np.ndarray  # (place, set, node): cube root of the carbonate left
    hottest: np.ndarray  # (place, set), degC, of the core


class Course(NamedTuple):
    """What the march keeps of each step: arrays (step, place, set)."""

    face: np.ndarray
    core: np.ndarray
    left: np.ndarray  # (step, reaction, place, set) at the core
    mean_left: np.ndarray  # (step, place, set), of the first reaction, over the brick
    root: np.ndarray


def at_rest(temperature: np.ndarray, reactions: int, cells: int = CELLS) -> Inside:
    """A body of one even temperature (place, set), with nothing decomposed."""
    shape = (*temperature.shape, cells)
    nodes = np.broadcast_to(temperature[..., None], shape).copy()
    zero = np.zeros(shape)
    return Inside(
        zero,
        temperature.astype(float),
        nodes,
        zero,
        zero,
        np.ones((reactions, *shape)),
        np.ones(shape),
        temperature.astype(float),
    )


def advance(
    body: Body,
    start: Inside,
    seconds: np.ndarray,
    path: np.ndarray,
    doubt: np.ndarray,
    *,
    sinks: bool = True,
) -> tuple[Inside, Course]:
    """March from a state along a path.

    Args:
        body: what is heated.
        start: the state at the first of the times.
        seconds: times of the path, increasing.
        path: what the probe reads at these times, (step, place, set), degC.
        doubt: half-width of the path, (step, place), K, seen by the reactions only.
        sinks: whether reactions take up heat; without them only temperatures are marched.

    Returns:
        The state at the last time, and what was kept of each step.
    """
    steps, cells = len(seconds) - 1, start.nodes.shape[-1]
    m = modes(cells)
    shapes, weights, decay, ones = m
    places, sets = start.face.shape
    reactions = len(start.left)
    keep = Course(
        np.empty((steps, places, sets)),
        np.empty((steps, places, sets)),
        np.empty((steps, reactions, places, sets)),
        np.empty((steps, places, sets)),
        np.empty((steps, places, sets)),
    )
    y, face, nodes, drift, sink, left, root, hottest = start
    slow = body.green_diffusivity / body.half_thickness**2
    faster = body.fired_diffusivity / body.half_thickness**2 - slow
    storage = body.density * body.half_thickness * (cells / 2)  # times c alpha/L^2 = k N/(2L)
    near, next_near = shapes[:, -1], shapes[:, -2]
    ln_a, activation = body.ln_frequency[..., None], body.activation[..., None]
    carbonate = bool(np.any(body.carbonate_heat > 0))
    of_gas = bool(np.any(body.gas > 0))
    heats = body.heat[..., None]
    offset = (ZERO_CELSIUS + doubt[..., None] * body.sign)[..., None]
    for i in range(steps):
        dt = seconds[i + 1] - seconds[i]
        speed = slow
        if hottest.max() > 850:
            speed = slow + faster * np.minimum(np.maximum((hottest - 850) / 100, 0), 1)
        rate = speed[..., None] * decay
        fade = np.exp(-rate * dt)
        gain = (1 - fade) / rate
        y = y * fade
        if sinks:
            kelvin = np.maximum(nodes + (0.5 * dt) * drift + offset[i + 1], 200.0)
            inverse = 1.0 / kelvin
            constant = np.exp(ln_a - activation * inverse)
            after = left * np.exp(constant * -dt)
            heat_lost = (left - after) * heats
            left = after
            lost = heat_lost.sum(0)
            urge = (heat_lost * activation).sum(0)
            known = np.minimum(np.maximum(kelvin, COLDEST_KNOWN), HOTTEST_KNOWN)
            if carbonate:
                root, more = _carbonate(body, kelvin, root, dt)
                lost = lost + more
            per_heat = 1 / michot_specific_heat(known)
            wanted = lost * per_heat / -dt
            # the steeper a sink grows with temperature, the more of its own cooling it meets
            stiff = (0.5 * urge) * per_heat * inverse * inverse
            new_sink = (wanted + stiff * sink) / (1 + stiff)
            y = y + gain * (new_sink @ weights)
            sink = new_sink
        drag = gain * ones
        target = path[i + 1]
        if of_gas:
            heat = michot_specific_heat(
                np.minimum(np.maximum(face + ZERO_CELSIUS, COLDEST_KNOWN), HOTTEST_KNOWN)
            )
            hot, cold = target + ZERO_CELSIUS, face + ZERO_CELSIUS
            film = body.convection + body.emissivity * STEFAN_BOLTZMANN * (
                (hot * hot + cold * cold) * (hot + cold)
            )
            resistance = body.gas * storage * heat * speed / (film * body.exposure)
            bend = 4 * near - next_near
            slope = (target - face + resistance * (y @ bend)) / (resistance * (drag @ bend) + dt)
        else:
            slope = (target - face) / dt
        y = y - drag * slope[..., None]
        face = face + slope * dt
        new = y @ shapes + face[..., None]
        drift = (new - nodes) / dt
        nodes = new
        core = nodes[..., 0]
        hottest = np.maximum(hottest, core)
        keep.face[i] = face
        keep.core[i] = core
        if sinks:
            keep.left[i] = left[..., 0]
            keep.mean_left[i] = left[0].mean(-1)
            keep.root[i] = root[..., 0]
    return Inside(y, face, nodes, drift, sink, left, root, hottest), keep


def _carbonate(
    body: Body, kelvin: np.ndarray, root: np.ndarray, dt: float
) -> tuple[np.ndarray, np.ndarray]:
    """The cube root of the carbonate left after a step, and the heat it took, J/kg."""
    if kelvin.max() < 750:
        return root, np.zeros(())
    constant = np.exp(
        body.carbonate_ln_frequency[..., None] - body.carbonate_activation[..., None] / kelvin
    ) * drive_of_carbonate(kelvin, body.carbonate_gas[..., None])
    new = np.maximum(root - constant * dt, 0.0)
    return new, (root**3 - new**3) * body.carbonate_heat[..., None]


__all__ = ["CELLS", "GAS_CONSTANT", "Body", "Course", "Inside", "advance", "at_rest"]
