"""The plan of a firing: its climbs and holds on the clock, the wood, the air, the battery."""

from dataclasses import field

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, Parameters
from fieldbook.calc.cooling import fall_time
from fieldbook.calc.firing import PlaceMarch, PlaceState
from fieldbook.calc.heat_work import time_left, wanted_temperature
from fieldbook.calc.rates import GREEN, STEAM_DRY, Strength, allowed_climb
from fieldbook.calc.readings import Readings, reading_interval
from fieldbook.calc.stages import Stage, stages
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

GREATEST_CLIMB = 100.0  # K/h that a wood fire is asked for when nothing else limits it; practice
LONGEST = 21 * 24.0  # h, after which a plan is given up
DEHYDRATED = 0.05
WATER_GONE = 250.0  # degC, above which no stage waits for free water
COOLING_TIME = 12.0  # h, time constant of a small kiln where none was learnt


@frozen
class Step:
    """One line of a plan: from one temperature to another, or a hold."""

    stage: str
    begins: float
    """h from lighting."""
    ends: float
    start: float
    """degC, at the coldest place."""
    end: float
    climb: float
    """K/h, zero in a hold."""
    limited_by: str
    reading_every: float
    """h."""


@frozen
class FiringPlan:
    """A plan: its steps, its curve, and when it is over."""

    steps: tuple[Step, ...]
    time: np.ndarray
    """h from lighting."""
    face: np.ndarray
    """degC, the curve to keep to at the coldest place."""
    core: np.ndarray
    """degC, (bound, time)."""
    peak: float
    hold: float
    wanted: float
    """one-hour temperature, degC."""
    peak_at: float
    """h from lighting, when the peak is reached."""
    sealed_at: float
    opens_at: float
    hottest: float
    """degC, the hottest place at the peak, with the kiln's spread."""
    notes: tuple[str, ...] = field(default=())


@frozen
class Terms:
    """What a plan starts from and keeps to."""

    start: float = 15.0
    """degC of bricks and air."""
    strength: Strength = GREEN
    """Of the brick as it is heated."""
    parameters: Parameters = PARAMETERS
    """Ranges of the march."""
    learnt: float = 1.0
    """Factor on the stress rule."""
    greatest: float = GREATEST_CLIMB
    """K/h, the most the fire is asked for."""
    spread: float = 0.0
    """K between the hottest and the coldest place."""
    peak_limit: float = 1050.0
    """degC that the hottest place must not pass."""
    cooling_time: float = COOLING_TIME
    """h, time constant of the cooling."""
    open_below: float = 100.0
    """degC."""
    reading_every: float | None = None
    """h, when the maker set it."""
    table: tuple[Stage, ...] | None = None
    """The maker's own stages."""


USUAL = Terms()


def plan_firing(brick: Brick, peak: float, hold: float = 1.0, terms: Terms = USUAL) -> FiringPlan:
    """A plan that keeps the rules: each climb the one allowed, each stage left by its condition.

    Args:
        brick: the thickest and wettest of the load.
        peak: degC wanted at the coldest place.
        hold: h at the peak.
        terms: what it starts from and keeps to.
    """
    hottest = peak + terms.spread
    if hottest > terms.peak_limit:
        raise NotPossible(
            f"the hottest place would reach {hottest:.0f} degC, above {terms.peak_limit:.0f}: "
            "plan a lower peak, or a longer hold"
        )
    if peak <= terms.start:
        raise NotPossible("the peak must lie above where the fire starts")
    walk = _Walk(brick, terms)
    walk.climb_to(peak)
    peak_at = walk.hour
    walk.hold_for_work(peak, hold)
    state = walk.state()
    open_after = fall_time(hottest, terms.open_below, terms.start, terms.cooling_time)
    return FiringPlan(
        steps=tuple(walk.merged()),
        time=np.array(walk.times),
        face=np.array(walk.temperatures),
        core=np.stack([np.interp(walk.times, state.time, row) for row in state.core]),
        peak=peak,
        hold=hold,
        wanted=wanted_temperature(peak, hold),
        peak_at=peak_at,
        sealed_at=walk.hour,
        opens_at=walk.hour + open_after,
        hottest=hottest,
    )


def smoking_hours(brick: Brick, terms: Terms = USUAL) -> float:
    """Hours from lighting to where no free water is left; all that a wetter brick makes longer."""
    walk = _Walk(brick, terms)
    walk.climb_to(WATER_GONE)
    return walk.hour


class _Walk:
    """A firing walked through in short steps, each at the climb allowed there."""

    def __init__(self, brick: Brick, terms: Terms) -> None:
        self.brick, self.terms = brick, terms
        self.march = PlaceMarch("plan", brick, terms.parameters, "face", 1.0)
        self.hour, self.temperature = 0.0, terms.start
        self.times, self.temperatures = [0.0], [terms.start]
        self.steps: list[Step] = []
        table = terms.table if terms.table is not None else stages()
        self.table = [s for s in table if s.name not in ("flashing", "cooling")]
        self._take_up()

    def _take_up(self) -> None:
        self.march.take_up(
            Readings(np.array([self.hour]), np.array([self.temperature]), np.array([2.5]), "face")
        )

    def state(self) -> PlaceState:
        return self.march.state(self.hour)

    def go(self, hours: float, climb: float, reason: str) -> None:
        if self.hour > LONGEST:
            raise NotPossible("no plan within three weeks keeps all the rules")
        begins, start = self.hour, self.temperature
        self.hour += hours
        self.temperature += hours * climb
        self.times.append(self.hour)
        self.temperatures.append(self.temperature)
        self._take_up()
        every = self.terms.reading_every
        self.steps.append(
            Step(
                stage=self._stage(start),
                begins=begins,
                ends=self.hour,
                start=start,
                end=self.temperature,
                climb=climb,
                limited_by=reason,
                reading_every=reading_interval(start, climb) if every is None else every,
            )
        )

    def _stage(self, temperature: float) -> str:
        names = [s.name for s in self.table if s.low <= temperature]
        return names[-1] if names else self.table[0].name

    def climb_to(self, peak: float) -> None:
        terms = self.terms
        while self.temperature < peak - 0.01:
            state = self.state()
            allowed = allowed_climb(
                state,
                self.brick,
                strength=terms.strength,
                parameters=terms.parameters,
                learnt=terms.learnt,
            )
            waits = self._waits(state)
            if allowed.rate <= 0 or waits:
                self.go(0.25, 0.0, waits or allowed.limited_by)
                continue
            rate = min(allowed.rate, terms.greatest)
            reason = allowed.limited_by if allowed.rate <= terms.greatest else "the fire"
            self.go(min(0.25, 12.0 / rate, (peak - self.temperature) / rate), rate, reason)

    def _waits(self, state: PlaceState) -> str:
        """What holds the fire at the top of a stage: free water, or bound water."""
        if self.temperature >= 140 and state.now("free_water_left")[2] > STEAM_DRY:
            return "steam"
        if self.temperature >= 700 and state.now("bound_water_left")[1] > DEHYDRATED:
            return "bound water"
        return ""

    def hold_for_work(self, peak: float, hold: float) -> None:
        while True:
            state = self.state()
            left = time_left(state.now("work")[1], peak, hold, state.now("core")[1])
            if left < 0.005:
                return
            self.go(min(left, 0.25), 0.0, "heat-work")

    def merged(self) -> list[Step]:
        """Steps of one stage, one reason and nearly one climb, made into one line each."""
        lines: list[list[Step]] = []
        for step in self.steps:
            last = lines[-1][-1] if lines else None
            like = last is not None and (last.stage, last.limited_by) == (
                step.stage,
                step.limited_by,
            )
            if like and last is not None and (last.climb > 0) == (step.climb > 0):
                lines[-1].append(step)
            else:
                lines.append([step])
        return [_one(line) for line in lines]


def _one(line: list[Step]) -> Step:
    first, last = line[0], line[-1]
    hours = last.ends - first.begins
    return Step(
        stage=first.stage,
        begins=first.begins,
        ends=last.ends,
        start=first.start,
        end=last.end,
        climb=(last.end - first.start) / hours,
        limited_by=first.limited_by,
        reading_every=min(s.reading_every for s in line),
    )
