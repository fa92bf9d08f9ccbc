"""The march: temperature, water and minerals inside half a slab, step by step.

Conduction is taken exactly over each step, mode by mode, for a face that moves on a straight line;
where the reading is of the gas, the face at the end of the step is solved for, implicitly. What
boils or decomposes takes up heat at the mean temperature of the step. All places on one grid of
times and all parameter sets go through a step together, as arrays (place, set, node).
"""

from typing import NamedTuple

import numpy as np

from fieldbook.calc.conduction import STEFAN_BOLTZMANN, modes
from fieldbook.calc.kinetics import CARBON_DIOXIDE
from fieldbook.calc.properties import ZERO_CELSIUS, michot_specific_heat

COLDEST = 250.0  # K; below it no reaction is followed; ours
# degC of the reading over which a body comes to conduct as fired; from memory
FIRED = (800.0, 1000.0)
CARBONATE_BEGINS = 450.0  # degC of the hottest node; from memory


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
    slope: np.ndarray  # (place, set), K/s, of the face
    nodes: np.ndarray  # (place, set, node), degC, face left out
    drift: np.ndarray  # (place, set, node), K/s
    sink: np.ndarray  # (place, set, node), K/s
    left: np.ndarray  # (reaction, place, set, node), 0 to 1
    root: np.ndarray  # (place, set, node): cube root of the carbonate left
    hottest: np.ndarray  # (place, set), degC, the highest the probe has read


class Course(NamedTuple):
    """What the march keeps of each step: arrays (step, place, set)."""

    face: np.ndarray
    core: np.ndarray
    left: np.ndarray  # (step, reaction, place, set) at the core
    mean_left: np.ndarray  # (step, place, set), of the first reaction, over the brick
    root: np.ndarray


def at_rest(temperature: np.ndarray, reactions: int, cells: int) -> Inside:
    """A body of one even temperature (place, set), with nothing decomposed."""
    shape = (*temperature.shape, cells)
    nodes = np.broadcast_to(temperature[..., None], shape).copy()
    zero = np.zeros(shape)
    return Inside(
        zero,
        temperature.astype(float),
        np.zeros(temperature.shape),
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
    walk = _Walk(body, start, seconds, path, doubt)
    for i in range(len(seconds) - 1):
        if sinks:
            walk.react(i)
        walk.conduct(i)
        walk.note(i, sinks)
    return walk.inside(), walk.course


def _empty_course(steps: int, start: Inside) -> Course:
    """Room for what is kept of so many steps."""
    shape = (steps, *start.face.shape)
    left = np.empty((steps, len(start.left), *start.face.shape))
    return Course(np.empty(shape), np.empty(shape), left, np.empty(shape), np.empty(shape))


class _Walk:
    """What changes from step to step, and what is known of all steps beforehand."""

    def __init__(
        self,
        body: Body,
        start: Inside,
        seconds: np.ndarray,
        path: np.ndarray,
        doubt: np.ndarray,
    ) -> None:
        self.body = body
        self.y, self.face, self.slope, self.nodes, self.drift = start[:5]
        self.sink, self.left, self.root, hot = start[5:]
        self.modes = modes(start.nodes.shape[-1])
        self.ln_frequency = body.ln_frequency[..., None]
        self.activation = body.activation[..., None]
        self.heat = body.heat[..., None]
        dt = np.diff(seconds)
        self.seconds = dt.tolist()
        self.target = path[1:]
        self.highest = np.maximum(np.maximum.accumulate(path[1:], axis=0), hot)
        self._foresee_heat(hot, dt)
        self._foresee_reactions(doubt)
        self.course = _empty_course(len(dt), start)

    def _foresee_heat(self, hot: np.ndarray, dt: np.ndarray) -> None:
        """How each mode fades over each step, and what the face draws from it."""
        body = self.body
        before = np.concatenate([hot[None], self.highest[:-1]])
        middle = (self.highest + before) / 2
        fired = np.clip((middle - FIRED[0]) / (FIRED[1] - FIRED[0]), 0, 1)
        speed = (
            body.green_diffusivity + fired * (body.fired_diffusivity - body.green_diffusivity)
        ) / body.half_thickness**2
        rate = speed[..., None] * self.modes.decay
        self.fade = np.exp(-rate * dt[:, None, None, None])
        self.gain = (1 - self.fade) / rate
        self.drag = self.gain * self.modes.ones
        # the slope of temperature at the face by four points, in modes
        near, nearer, nearest = self.modes.shapes[:, -3:].T
        self.bend = 6 * nearest - 3 * nearer + 2 / 3 * near
        self.pull = self.drag @ self.bend
        # k N / (2 L) over c; only a reading of gas meets a resistance
        cells = self.nodes.shape[-1]
        self.storage = body.gas * body.density * body.half_thickness * (cells / 2) * speed
        self.of_gas = bool(np.any(body.gas > 0))

    def _foresee_reactions(self, doubt: np.ndarray) -> None:
        """What the reactions see of the path, and in which steps carbonate may part."""
        body = self.body
        offset = ZERO_CELSIUS + ((doubt[1:] + doubt[:-1]) / 2)[..., None] * body.sign
        self.offset = offset[..., None]
        warmest = np.maximum(self.highest + offset - ZERO_CELSIUS, self.highest).max((1, 2))
        lime = bool(np.any(body.carbonate_heat > 0))
        self.limes = (lime & (warmest > CARBONATE_BEGINS)).tolist()

    def react(self, i: int) -> None:
        """Let boil and decompose what does at the mean temperature of the step."""
        dt = self.seconds[i]
        kelvin = self.nodes + (0.5 * dt) * self.drift + self.offset[i]
        np.maximum(kelvin, COLDEST, out=kelvin)
        inverse = 1.0 / kelvin
        after = self.activation * inverse
        np.subtract(self.ln_frequency, after, out=after)
        np.exp(after, out=after)
        after *= -dt
        np.exp(after, out=after)
        after *= self.left
        taken = (self.left - after) * self.heat
        self.left = after
        lost = np.add.reduce(taken, 0)
        taken *= self.activation
        urge = np.add.reduce(taken, 0)
        if self.limes[i]:
            lost += self._lime(inverse, dt)
        square = inverse * inverse
        storage = 1128.0 + 0.102 * kelvin - 36e6 * square
        # the steeper a sink grows with temperature, the more of its own cooling it meets
        stiff = urge * square
        stiff *= 0.5
        stiff /= storage
        lost /= storage
        lost *= -1 / dt
        stiff_sink = stiff * self.sink
        lost += stiff_sink
        stiff += 1.0
        lost /= stiff
        self.sink = lost

    def _lime(self, inverse: np.ndarray, dt: float) -> np.ndarray:
        """Let the carbonate go, by the cube root of what is left; the heat it takes, J/kg."""
        body, old = self.body, self.root
        frequency, latent = CARBON_DIOXIDE
        constant = np.exp(
            body.carbonate_ln_frequency[..., None] - body.carbonate_activation[..., None] * inverse
        )
        held = (body.carbonate_gas / frequency)[..., None] * np.exp(latent * inverse)
        np.maximum(1 - held, 0.0, out=held)
        self.root = np.maximum(old - constant * held * dt, 0.0)
        taken: np.ndarray = (old**3 - self.root**3) * body.carbonate_heat[..., None]
        return taken

    def conduct(self, i: int) -> None:
        """Take the heat in: exactly in each mode, for a face that moves on a straight line."""
        dt, face = self.seconds[i], self.face
        y = self.y * self.fade[i]
        y += self.gain[i] * (self.sink @ self.modes.weights)
        rise = self.target[i] - face
        if self.of_gas:
            resistance = self._resistance(i, face + self.slope * dt)
            slope = (rise + resistance * (y @ self.bend)) / (resistance * self.pull[i] + dt)
        else:
            slope = rise / dt
        y -= self.drag[i] * slope[..., None]
        self.y, self.slope = y, slope
        self.face = face + slope * dt
        nodes = y @ self.modes.shapes
        nodes += self.face[..., None]
        self.drift = (nodes - self.nodes) / dt
        self.nodes = nodes

    def _resistance(self, i: int, face: np.ndarray) -> np.ndarray:
        """How hard the film is to pass, beside the first cell of the brick."""
        body = self.body
        cold, hot = face + ZERO_CELSIUS, self.target[i] + ZERO_CELSIUS
        film = (hot * hot + cold * cold) * (hot + cold)
        film *= body.emissivity * STEFAN_BOLTZMANN
        film += body.convection
        film *= body.exposure
        ratio: np.ndarray = self.storage[i] * michot_specific_heat(cold) / film
        return ratio

    def note(self, i: int, sinks: bool) -> None:
        """Keep what is asked for later."""
        course = self.course
        course.face[i] = self.face
        course.core[i] = self.nodes[..., 0]
        if sinks:
            course.left[i] = self.left[..., 0]
            course.mean_left[i] = np.add.reduce(self.left[0], -1)
            course.root[i] = self.root[..., 0]

    def inside(self) -> Inside:
        """The state after the last step."""
        self.course.mean_left[:] /= self.nodes.shape[-1]
        return Inside(
            self.y,
            self.face,
            self.slope,
            self.nodes,
            self.drift,
            self.sink,
            self.left,
            self.root,
            self.highest[-1],
        )
