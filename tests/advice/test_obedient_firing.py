"""A maker who does at the kiln only what the advice says, with the program's own reviews."""

from datetime import timedelta
from itertools import pairwise

import pytest

from fieldbook.advice.actions import Action
from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from fieldbook.records import Firing
from tests.advice.build_records import at, notebook_of
from tests.advice.test_way_through import DRIED, PLANNED

START = at("2026-04-25 06:00")
LIMIT = 1050.0
"""degC, where nothing is known of a clay."""
UNEVEN = 1.03
"""The bottom climbs so much faster than the top."""


class Kiln:
    """A kiln that does at once what its maker wants, and whose bottom climbs faster."""

    def __init__(self) -> None:
        self.now = START + timedelta(minutes=10)
        self.log = ['"2026-04-25 06:00" = { event = "lit" }\n']
        self.top = self.bottom = 15.0
        self.curve: list[tuple[float, float, float | None]] = []
        self.read()

    def read(self) -> None:
        for late, (place, shown) in enumerate((("top", self.top), ("bottom", self.bottom))):
            moment = (self.now + timedelta(minutes=late)).strftime("%Y-%m-%d %H:%M")
            self.log.append(
                f'"{moment}" = {{ temperature = "{shown:.0f} C", place = "{place}", '
                'probe = "face" }\n'
            )

    def note(self, event: str) -> None:
        moment = (self.now + timedelta(minutes=3)).strftime("%Y-%m-%d %H:%M")
        self.log.append(f'"{moment}" = {{ event = "{event}" }}\n')

    def advice(self) -> dict[str, Action]:
        moment = self.now + timedelta(minutes=3)
        files = {**DRIED, "firings/may": f"{PLANNED}[log]\n{''.join(self.log)}"}
        context = Context.of(notebook_of(files, moment.strftime("%Y-%m-%d %H:%M")), moment)
        firing = context.review("firings/may")
        assert firing is not None
        assert isinstance(firing.entry, Firing)
        hours = (self.now - START).total_seconds() / 3600
        self.curve.append((hours, self.bottom, firing.number("allowed_climb")))
        return {a.topic: a for a in advise(context, "firings/may").actions}

    def go_on(self, fire: Action, until: timedelta) -> None:
        hours = until.total_seconds() / 3600
        rise = 0.0
        if fire.action == "climb":
            rise = min(fire.numbers["climb"][0] * hours, fire.numbers["reach"][0] - self.top)
        self.now += until
        self.top += rise
        self.bottom += rise * UNEVEN
        self.read()


@pytest.fixture(scope="module", name="fired")
def _fired() -> tuple[Kiln, list[str]]:
    kiln, said = Kiln(), []
    for _ in range(150):
        advice = kiln.advice()
        fire = advice.get("fire")
        if fire is None:
            said.append("")
            break
        said.append(fire.rule)
        if fire.rule == "seal":
            break
        if fire.rule == "end-the-fire":
            kiln.note("peak")
            continue
        reading = advice.get("reading")
        due = reading.when if reading and reading.when else kiln.now + timedelta(minutes=30)
        kiln.go_on(fire, max(due - kiln.now, timedelta(minutes=10)))
    return kiln, said


def test_the_advice_leads_from_lighting_to_sealing_without_a_dead_end(fired):
    _, said = fired
    assert said[-2:] == ["end-the-fire", "seal"]
    assert "climb-on" in said
    assert "hold-at-peak" in said


def test_the_coldest_place_reaches_its_peak_and_the_hottest_stays_below_the_limit(fired):
    kiln, _ = fired
    assert kiln.top >= 950 - 15
    assert kiln.bottom < LIMIT


def test_who_obeys_climbs_no_faster_than_a_quarter_above_what_was_allowed(fired):
    kiln, _ = fired
    for (start, before, allowed), (end, after, _) in pairwise(kiln.curve):
        if allowed is not None and end > start:
            assert (after - before) / (end - start) <= 1.25 * allowed + 0.5


def test_it_asks_for_no_more_than_three_readings_an_hour(fired):
    kiln, _ = fired
    hours = kiln.curve[-1][0]
    assert len(kiln.curve) - 2 <= 3 * hours + 1
