"""The drying law as arrays, for many draws and bricks at once, and its fit to weigh-ins."""

from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldbook.errors import NotPossible

Floats: TypeAlias = NDArray[np.float64]
Force: TypeAlias = Callable[[Floats], Floats]

OUTLOOK = 200 * 24.0
"""[h] No forecast looks further than this past the last weighing; ours."""


class Weighing(NamedTuple):
    """One marked brick on the scale."""

    hours: float
    """[h] since moulding."""
    brick: str
    moisture: float
    """Fraction of the dry mass."""
    sd: float
    """Standard uncertainty of that fraction, the part independent from weighing to weighing."""


class Weather:
    """The pull of the air over time: between notes a straight line, outside them their mean."""

    def __init__(self, hours: ArrayLike, forces: ArrayLike) -> None:
        self.hours = np.asarray(hours, float)
        self.forces = np.asarray(forces, float)
        if not self.hours.size or self.hours.size != self.forces.size:
            raise NotPossible("weather needs a time for each pull, and at least one")
        if np.any(np.diff(self.hours) <= 0):
            raise NotPossible("the times of the weather must rise")
        if np.any(self.forces < 0):
            raise NotPossible("the pull of the air cannot be negative")

    @cached_property
    def mean(self) -> float:
        """[Pa] Mean over the noted time."""
        if self.hours.size == 1:
            return float(self.forces[0])
        steps = np.diff(self.hours)
        return float(steps @ (self.forces[1:] + self.forces[:-1]) / 2 / steps.sum())

    def __call__(self, hours: Floats) -> Floats:
        """[Pa] at the given hours."""
        pull = np.interp(hours, self.hours, self.forces, left=self.mean, right=self.mean)
        return np.asarray(pull)


class Clock:
    """Hours counted by the pull of the air: one hour of mean pull counts as one."""

    STEP = 1.0

    def __init__(self, force: Force | None, last: float) -> None:
        self.mean = 1.0
        self._hours: Floats | None = None
        if force is None:
            return
        grid = np.arange(0.0, last + OUTLOOK + self.STEP, self.STEP)
        pull = np.maximum(np.asarray(force(grid), float), 0.0)
        past = pull[grid <= max(last, self.STEP)]
        self.mean = float(past.mean())
        if self.mean <= 0:
            raise NotPossible("the air pulled no water out in all the time: check the humidity")
        sums = np.concatenate([[0.0], np.cumsum((pull[1:] + pull[:-1]) / 2 * self.STEP)])
        self._hours, self._counts = grid, sums / self.mean

    @property
    def blind(self) -> bool:
        """True where no weather is known: an hour is an hour."""
        return self._hours is None

    def count(self, hours: Floats) -> Floats:
        """Clock hours -> counted hours."""
        if self._hours is None:
            return hours
        return np.interp(hours, self._hours, self._counts)

    def hour(self, counts: Floats) -> Floats:
        """Counted hours -> clock hours; infinite where the outlook does not reach."""
        if self._hours is None:
            return counts
        return np.interp(counts, self._counts, self._hours, right=np.inf)


class Parts(NamedTuple):
    """Parameters of several draws (rows) for all bricks (columns)."""

    rate: Floats
    first: Floats
    span: Floats
    equilibrium: Floats


class Data:
    """The weigh-ins as arrays."""

    def __init__(self, rows: list[Weighing], clock: Clock) -> None:
        self.names = tuple(dict.fromkeys(row.brick for row in rows))
        index = {name: i for i, name in enumerate(self.names)}
        self.brick = np.array([index[row.brick] for row in rows])
        self.hours = np.array([row.hours for row in rows])
        self.moisture = np.array([row.moisture for row in rows])
        self.sd = np.maximum([row.sd for row in rows], 1e-5)
        self.clock = clock
        self.count = clock.count(self.hours)
        picks = [np.flatnonzero(self.brick == i) for i in range(len(self.names))]
        self.firsts = self.moisture[[pick[0] for pick in picks]]
        self.last_hours = self.hours[[pick[-1] for pick in picks]]
        self.last_moistures = self.moisture[[pick[-1] for pick in picks]]

    def model(self, theta: Floats) -> Floats:
        """What the law says of each weighing."""
        parts = unpack(theta[None, :], len(self.names))
        rate, first = parts.rate[0][self.brick], parts.first[0][self.brick]
        span = parts.span[0][self.brick]
        return law_of(self.count, rate, first, span, parts.equilibrium[0])

    def slopes(self, theta: Floats, here: Floats) -> Floats:
        """How each modelled weighing moves with each parameter."""
        size, count = theta.size, len(self.names)
        rows = np.arange(self.brick.size)
        jacobian = np.zeros((self.brick.size, size))
        moved = theta.copy()
        moved[count : 2 * count] += 1e-6
        jacobian[rows, count + self.brick] = (self.model(moved) - here) / 1e-6
        for column in (*range(count), size - 2, size - 1):
            moved = theta.copy()
            moved[column] += 1e-6
            jacobian[:, column] = (self.model(moved) - here) / 1e-6
        return jacobian


def most_probable(
    data: Data, sigma: Floats, centre: Floats, precision: Floats
) -> tuple[Floats, Floats]:
    """Parameters that fit best, prior and all, and the information there (damped Gauss-Newton)."""
    theta, damping = _first_guess(data, centre), 1e-3
    here = data.model(theta)
    cost = _cost(data, sigma, here, theta - centre, precision)
    for _ in range(60):
        jacobian = data.slopes(theta, here) / sigma[:, None]
        information = jacobian.T @ jacobian + precision
        slope = jacobian.T @ ((data.moisture - here) / sigma) - precision @ (theta - centre)
        moved = False
        while damping < 1e8 and not moved:
            step = np.linalg.solve(information + damping * np.diag(np.diag(information)), slope)
            there = data.model(theta + step)
            trial = _cost(data, sigma, there, theta + step - centre, precision)
            moved = bool(trial <= cost)
            damping = damping / 10 if moved else damping * 10
        if not moved:
            break
        gained, theta, here, cost = cost - trial, theta + step, there, trial
        if gained < 1e-6 * (1 + cost):
            break
    jacobian = data.slopes(theta, here) / sigma[:, None]
    excess = np.sum(((data.moisture - here) / sigma) ** 2) / max(1, data.moisture.size)
    return theta, jacobian.T @ jacobian / max(1.0, float(excess)) + precision


def _first_guess(data: Data, centre: Floats) -> Floats:
    """Start from the prior, with the rate that the weighings of each brick show."""
    theta, count = centre.copy(), len(data.names)
    lost = data.firsts - data.last_moistures
    counted = data.clock.count(data.last_hours)
    known = (counted > 0) & (lost > 0.01)
    theta[:count][known] = np.log(1.3 * lost[known] / counted[known])
    return theta


def _cost(data: Data, sigma: Floats, modelled: Floats, away: Floats, precision: Floats) -> float:
    return float(np.sum(((data.moisture - modelled) / sigma) ** 2) + away @ precision @ away)


def unpack(theta: Floats, count: int) -> Parts:
    """Parameters by name. A brick that dries faster leaves the constant rate at a higher moisture:
    the water inside follows at its own pace (diffusion), so the spans go with the rates."""
    rows = np.atleast_2d(theta)
    logs = np.clip(rows[:, :count], -20, 5)
    spans = np.clip(rows[:, -2:-1] + logs - logs.mean(axis=1, keepdims=True), -7, 1)
    return Parts(np.exp(logs), rows[:, count : 2 * count], np.exp(spans), rows[:, -1:])


def law_of(count: Floats, rate: Floats, first: Floats, span: Floats, equilibrium: Floats) -> Floats:
    """Moisture after so many counted hours."""
    critical = equilibrium + span
    until = np.maximum(first - critical, 0.0) / rate
    from_there = np.minimum(first, critical) - equilibrium
    falling = equilibrium + from_there * np.exp(-rate * np.maximum(count - until, 0.0) / span)
    return np.where(count < until, first - rate * count, falling)


def curve(count: Floats, parts: Parts) -> Floats:
    """Moisture of each draw and brick after so many counted hours."""
    return law_of(count, *parts)


def count_to(target: Floats, parts: Parts) -> Floats:
    """Counted hours to the target, from the solved law; infinite where it is never reached."""
    critical = parts.equilibrium + parts.span
    steady = np.maximum(parts.first - np.maximum(critical, target), 0.0) / parts.rate
    start = np.minimum(parts.first, critical) - parts.equilibrium
    free = np.maximum(target - parts.equilibrium, 1e-12)
    fall = parts.span / parts.rate * np.log(np.maximum(start / free, 1.0))
    never = (target <= parts.equilibrium) & (start > free)
    return np.where(never, np.inf, steady + np.where(target < critical, fall, 0.0))


def slopes_of(function: Callable[[Floats], Floats], theta: Floats) -> Floats:
    """Slopes of a function by each parameter in turn, along the last axis."""
    here, columns = function(theta), []
    for i in range(theta.size):
        moved = theta.copy()
        moved[i] += 1e-5
        columns.append((function(moved) - here) / 1e-5)
    return np.stack(columns, axis=-1)
