"""When the wettest brick will be dry: the drying law fitted to the weigh-ins of marked bricks.

The law is that of drying_law: a constant rate, then one that falls in a straight line towards the
moisture at which the air dries no further. Each brick has its own rate and first moisture; the
critical and the equilibrium moisture belong to the clay and the air. Where the weather was noted,
hours are counted by its pull, so that a wet week counts for little.

The fit is the most probable set of parameters under stated priors (Gauss-Newton), its doubt the
curvature there (Laplace), and the forecast a fixed set of draws from it: the same weigh-ins give
the same answer. Moistures are fractions of the dry mass, times hours since moulding.

Tried on 300 batches of bricks that dry by diffusion in changing weather, an independent world
(tests/bench/drying_coverage.py): the stated 80 % interval held what happened in 83 of 100
forecasts: 88, 81 and 80 at 3, 6 and 10 weigh-ins, its width then 490, 360 and 170 h in the middle
of batches that take about two weeks.
"""

from collections.abc import Sequence
from dataclasses import field, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from fieldbook.calc.drying_model import (
    Clock,
    Data,
    Floats,
    Force,
    Parts,
    Weather,
    Weighing,
    count_to,
    curve,
    most_probable,
    slopes_of,
    unpack,
)
from fieldbook.calc.drying_prior import Prior, pooled
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

__all__ = [
    "DryingFit",
    "NotReady",
    "Parameter",
    "Prior",
    "Ready",
    "Weather",
    "Weighing",
    "fit_drying",
    "pooled",
]

PSYCHROMETER = 66.0
"""[Pa/K] Pull of the air for each kelvin between air and wet bulb, at sea level (ASHRAE)."""

LATENT = 2.45e6
"""[J/kg] Of water near 20 degC (Zi 10/2012, equation 18)."""

LAW_OFF = 0.003
"""How far the fitted curve may be off at a weighing, as a fraction of the dry mass: what is left
over where the law is fitted to bricks dried by diffusion; ours."""

DRAWS = 400
"""Samples of what a forecast leaves open; ours."""


class Parameter(NamedTuple):
    """A fitted number with its standard deviation."""

    value: float
    sd: float


class Ready(NamedTuple):
    """When the wettest brick is below the target, in hours since moulding."""

    median: float
    low: float
    high: float
    """Ends of the 80 % interval; infinite where this air may never dry it so far."""
    never: float
    """Probability that this air never dries it so far, 0 to 1."""


class NotReady(NamedTuple):
    """Why there is no time ready: this air leaves the brick wetter than the target."""

    reason: str
    equilibrium: Parameter
    """What the air leaves, fraction of the dry mass."""
    as_dry_as_can_be: float
    """[h] since moulding when it is within half a per cent of that."""


@frozen
class DryingFit:
    """The fitted law; made by fit_drying."""

    bricks: tuple[str, ...]
    theta: Floats = field(repr=False)
    covariance: Floats = field(repr=False)
    last_hours: Floats = field(repr=False)
    last_moistures: Floats = field(repr=False)
    clock: Clock = field(repr=False)
    prior: Prior = field(repr=False)
    dry_mass_sd: float = 0.0
    sigma: float = 0.002
    """Standard uncertainty of a next weighing."""
    area_by_dry_mass: float | None = None
    """[m**2/kg]"""
    weighings: int = 0

    @property
    def now(self) -> float:
        """[h] of the last weighing."""
        return float(self.last_hours.max())

    @cached_property
    def parameters(self) -> dict[str, Parameter]:
        """Rates in 1/h at the mean pull of the air, moistures as fractions, by name."""
        draws = self._draws
        found = {f"rate {name}": draws.rate[:, i] for i, name in enumerate(self.bricks)}
        found["critical"] = draws.span.mean(axis=1) + draws.equilibrium[:, 0]
        found["equilibrium"] = draws.equilibrium[:, 0]
        middle = unpack(self.theta[None, :], len(self.bricks))
        values = [*middle.rate[0], middle.span[0].mean() + middle.equilibrium[0, 0]]
        values.append(middle.equilibrium[0, 0])
        return {
            name: Parameter(float(value), float(draw.std()))
            for (name, draw), value in zip(found.items(), values, strict=True)
        }

    def moisture_at(self, hours: float) -> dict[str, Parameter]:
        """Moisture of each marked brick at a time, with its standard deviation."""
        when = np.array(self.clock.count(np.array([hours])))
        middle = curve(when, unpack(self.theta[None, :], len(self.bricks)))[0]
        spread = curve(when, self._draws).std(axis=0)
        drift = self.prior.shape * np.abs(self.last_moistures - middle)
        return {
            name: Parameter(float(x), float(np.hypot(s, d)))
            for name, x, s, d in zip(self.bricks, middle, spread, drift, strict=True)
        }

    def stage(self, hours: float | None = None) -> str:
        """Whether the wettest brick still shrinks: "shrinking" or "past the shrinkage stop"."""
        wettest = max(x.value for x in self.moisture_at(self._time(hours)).values())
        above = wettest > self.parameters["critical"].value
        return "shrinking" if above else "past the shrinkage stop"

    def rate(self, hours: float | None = None) -> float:
        """[1/h] at which the marked bricks lose water on average: fraction of dry mass an hour."""
        when = self._time(hours)
        before, after = self.moisture_at(max(0.0, when - 0.5)), self.moisture_at(when + 0.5)
        span = when + 0.5 - max(0.0, when - 0.5)
        lost = sum(before[name].value - after[name].value for name in self.bricks)
        return float(lost / len(self.bricks) / span)

    def ready(self, target: float, of: int | None = None) -> Ready | NotReady:
        """When the wettest brick is below the target moisture (a fraction of the dry mass).

        The wettest of the marked bricks, or, with `of`, of so many bricks like them.
        """
        if target <= 0:
            raise NotPossible(
                "a target moisture must be above zero: no air dries further than that"
            )
        times = self._ready_times(target, of)
        low, median, high = (_at_share(times, share) for share in (0.1, 0.5, 0.9))
        if not np.isfinite(median):
            return self._as_dry_as_can_be()
        return Ready(median, low, high, float(np.mean(~np.isfinite(times))))

    def next_weighing(self, target: float) -> float | None:
        """[h] since moulding at which weighing all marked bricks narrows the interval most.

        Not later than the early end of the interval, and the earliest of equals; None where the
        bricks are below the target or never will be.
        """
        answer = self.ready(target)
        if isinstance(answer, NotReady):
            return max(self.now + 24.0, answer.as_dry_as_can_be)
        if answer.median <= self.now:
            return None
        first = self.now + max(2.0, 0.05 * (answer.median - self.now))
        times = np.linspace(first, max(first, answer.low), 25)
        widths = self._widths_after(times, answer.median, target)
        return float(times[np.argmax(widths <= widths.min() * 1.05)])

    def as_prior(self) -> Prior:
        """What this batch teaches for the next of its mix.

        The rate in like weather, and, where area and weather were known, the film coefficient of
        the yard, which serves in any weather.
        """
        middle = unpack(self.theta[None, :], len(self.bricks))
        rates = np.log(middle.rate[0])
        doubt = float(np.hypot(rates.std(), self.prior.spread))
        taught = replace(
            self.prior,
            log_rate=float(rates.mean()),
            log_rate_sd=max(0.3, doubt),
            critical=self.parameters["critical"].value,
            log_span_sd=max(0.1, float(np.sqrt(self.covariance[-2, -2]))),
            equilibrium=self.parameters["equilibrium"].value,
            equilibrium_sd=max(0.003, self.parameters["equilibrium"].sd),
        )
        if self.area_by_dry_mass is None or self.clock.blind:
            return taught
        film = float(np.exp(rates.mean())) / _rate_of_film(1.0, self.area_by_dry_mass, self.clock)
        return replace(taught, film=film, log_film_sd=max(0.25, doubt))

    @cached_property
    def _draws(self) -> Parts:
        size = self.theta.size
        normal = np.random.default_rng(20260501).standard_normal((DRAWS // 2, size))
        steps = np.concatenate([normal, -normal]) @ _root_of(self.covariance).T
        return unpack(self.theta + steps, len(self.bricks))

    def _ready_times(self, target: float, of: int | None) -> Floats:
        draws, count = self._draws, len(self.bricks)
        random = np.random.default_rng(20260502)
        shift = self.dry_mass_sd * random.standard_normal((DRAWS, 1))
        wanted = target + (1 + target) * shift
        factor = np.exp(self.prior.law_sd * random.standard_normal((DRAWS, 1)))
        each = self._from_here(wanted, factor, random.standard_normal((DRAWS, count)))
        if of is not None and of > count:
            mean, sd = np.log(draws.rate).mean(axis=1), self._spread_found
            slow = np.exp(mean - sd * random.standard_normal((of - count, DRAWS)).max(axis=0))
            pace = (draws.span / draws.rate).mean(axis=1)
            other = draws._replace(
                rate=slow[:, None],
                first=draws.first.max(axis=1, keepdims=True),
                span=(pace * slow)[:, None],
            )
            rest = np.maximum(self.clock.hour(count_to(wanted, other)), 0.0)
            rest = np.where(rest > self.now, self.now + (rest - self.now) * factor, rest)
            each = np.concatenate([each, rest], axis=1)
        return np.asarray(each.max(axis=1))

    def _from_here(self, wanted: Floats, factor: Floats, noise: Floats) -> Floats:
        """Hours at which each brick is down to what is wanted, from where the scale last saw it.

        The fitted curve bends where the true one does not; so what was seen last counts for more
        than what the curve says of that moment, by their doubts.
        """
        draws, counted = self._draws, self.clock.count(self.last_hours)
        weight = LAW_OFF**2 / (LAW_OFF**2 + self.sigma**2)
        seen = self.last_moistures + self.sigma * noise
        here = (1 - weight) * curve(counted, draws) + weight * seen
        ahead = self.clock.hour(counted + count_to(wanted, draws._replace(first=here)))
        still = self.last_hours + (ahead - self.last_hours) * factor
        past = np.minimum(self.clock.hour(count_to(wanted, draws)), self.last_hours)
        return np.where(here > wanted, still, past)

    @property
    def _spread_found(self) -> float:
        """Spread of the log rates of the marked bricks, leaning on the prior when they are few."""
        logs = self.theta[: len(self.bricks)]
        return float(
            np.sqrt(
                (4 * self.prior.spread**2 + np.sum((logs - logs.mean()) ** 2)) / (3 + logs.size)
            )
        )

    def _as_dry_as_can_be(self) -> NotReady:
        equilibrium = self.parameters["equilibrium"]
        parts = unpack(self.theta[None, :], len(self.bricks))
        near = self.clock.hour(count_to(parts.equilibrium + 0.005, parts)).max()
        reason = f"this air leaves about {100 * equilibrium.value:.1f} % in the brick"
        return NotReady(reason, equilibrium, float(max(near, self.now)))

    def _widths_after(self, times: Floats, median: float, target: float) -> Floats:
        """Expected width of the interval once all bricks are weighed at each of the times."""
        count = len(self.bricks)
        counted = self.clock.count(times)[:, None]

        def seen(theta: Floats) -> Floats:
            return curve(counted, unpack(theta, count))

        there, designs = seen(self.theta), slopes_of(seen, self.theta)
        lever = self._ready_slope(target)
        errors = self.sigma**2 + (self.prior.shape * (there - target)) ** 2
        widths = []
        for time, design, error in zip(times, designs, errors, strict=True):
            gain = self.covariance @ design.T
            pull = gain.T @ lever
            known = pull @ np.linalg.solve(design @ gain + np.diag(error), pull)
            left = float(lever @ self.covariance @ lever - known)
            widths.append(np.hypot(np.sqrt(max(0.0, left)), self.prior.law_sd * (median - time)))
        return np.array(widths)

    def _ready_slope(self, target: float) -> Floats:
        count = len(self.bricks)
        theta = self.theta.copy()  # finite where the middle never gets there
        theta[-1] = min(float(theta[-1]), target - 0.002)

        def latest(parameters: Floats) -> Floats:
            times = self.clock.hour(count_to(np.array([[target]]), unpack(parameters, count)))
            return np.atleast_1d(times[0].max())

        return np.asarray(slopes_of(latest, theta)[0])

    def _time(self, hours: float | None) -> float:
        return self.now if hours is None else hours


def fit_drying(
    weighings: Sequence[tuple[float, str, float, float]],
    *,
    area_by_dry_mass: float | None = None,
    drying_force: Force | None = None,
    prior: Prior | None = None,
    dry_mass_sd: float = 0.0,
) -> DryingFit:
    """Fit the drying law to weigh-ins of marked bricks.

    Formula:
        dX/dt = -r f(t) phi(X); phi = 1 above X_c, (X - X_e)/(X_c - X_e) below; f the pull of the
        air over its mean
    Args:
        weighings: hours since moulding, brick, moisture as a fraction of the dry mass, and its
            standard uncertainty.
        area_by_dry_mass: [m**2/kg] open area for each dry mass, where known.
        drying_force: pull of the air in Pa over hours since moulding, such as Weather(...).
        prior: what is known beforehand; the stated defaults where None.
        dry_mass_sd: relative standard uncertainty that all the dry masses share.
    Returns:
        A DryingFit.
    Raises:
        NotPossible: no weighing at all.
    Source:
        Geankoplis, Transport Processes and Unit Operations, 9.6 and 9.7; priors from memory.
    """
    if not weighings:
        raise NotPossible("nothing was weighed: there is no drying to fit")
    ahead = prior or Prior()
    rows = sorted(Weighing(*row) for row in weighings)
    data = Data(rows, Clock(drying_force, rows[-1].hours))
    centre, precision = _expectation(data, ahead, area_by_dry_mass)
    sigma = np.hypot(data.sd, ahead.shape * np.abs(data.moisture - data.last_moistures[data.brick]))
    theta, information = most_probable(data, sigma, centre, precision)
    return DryingFit(
        bricks=data.names,
        theta=theta,
        covariance=np.asarray(np.linalg.inv(information), float),
        last_hours=data.last_hours,
        last_moistures=data.last_moistures,
        clock=data.clock,
        prior=ahead,
        dry_mass_sd=dry_mass_sd,
        sigma=float(np.median(data.sd)),
        area_by_dry_mass=area_by_dry_mass,
        weighings=len(rows),
    )


def _expectation(data: Data, prior: Prior, area: float | None) -> tuple[Floats, Floats]:
    """Middle of the prior and its inverse covariance."""
    count = len(data.names)
    log_rate, log_sd = prior.log_rate, prior.log_rate_sd
    if area is not None and not data.clock.blind:
        log_rate = float(np.log(_rate_of_film(prior.film, area, data.clock)))
        log_sd = prior.log_film_sd
    rates = prior.spread**2 * np.eye(count) + log_sd**2
    precision = np.zeros((2 * count + 2, 2 * count + 2))
    precision[:count, :count] = np.linalg.inv(rates)
    precision[range(count, 2 * count), range(count, 2 * count)] = 1 / 0.15**2
    precision[-2, -2], precision[-1, -1] = prior.log_span_sd**-2, prior.equilibrium_sd**-2
    span = np.log(max(0.01, prior.critical - prior.equilibrium))
    centre = np.concatenate([np.full(count, log_rate), data.firsts, [span, prior.equilibrium]])
    return centre, precision


def _rate_of_film(film: float, area: float, clock: Clock) -> float:
    """[1/h] Constant rate at the mean pull of the air: heat through the film sets it."""
    return 3600 * area * film * clock.mean / (PSYCHROMETER * LATENT)


def _root_of(covariance: Floats) -> Floats:
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def _at_share(times: Floats, share: float) -> float:
    """The time that so many of the draws do not exceed; may be infinite."""
    return float(np.sort(times)[min(times.size - 1, int(share * times.size))])
