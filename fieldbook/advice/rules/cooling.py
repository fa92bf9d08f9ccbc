"""After the peak: seal, keep shut, slow the fall through quartz, open, unload."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.daylight import due_by_day
from fieldbook.advice.events import happened, last, lines_of
from fieldbook.advice.fire import burning, gone_out, hottest, phase, shut
from fieldbook.advice.fire_step import by_limit, too_fast
from fieldbook.advice.offered import readings
from fieldbook.advice.rules import Case, rule
from fieldbook.records import Firing

AGUMBA = "Agumba and Abbott, How to Build, Use and Maintain a Better Bonfire Kiln, 1996"
QUARTZ = "no faster than 50 °C/h through 573 °C: Fortuna 2000, in Dodd and Murfin"
OPEN_BELOW = 100.0
"""degC; common practice (owners of small kilns)."""
UNLOAD_BELOW = 50.0
"""degC; from memory."""
OVERDUE = timedelta(hours=1)
"""From then on no order rests on how the kiln fell when it was read last; common practice."""


def limit(case: Case, name: str, usual: float) -> float:
    """A temperature [degC] the maker set in `[practice]`, or the usual one."""
    practice = case.context.notebook.settings.practice
    amount = getattr(practice, name, None) if practice else None
    return float(amount.value) if amount and not amount.is_bound else usual


def stale(case: Case) -> bool:
    """Whether the reading is so long overdue that nothing is known of the fall any more."""
    due = case.time("next_reading")
    return due is not None and case.now - due > OVERDUE


def may_open(case: Case) -> bool:
    """Whether the kiln should be cool enough to open by now: then nothing is shut any more."""
    opens = case.time("opens")
    return opens is not None and opens <= case.now


@rule(
    "seal",
    on=Firing,
    urgency=Urgency.WARE,
    source=f"spread the embers, brick and mud every opening, keep mending cracks: {AGUMBA}",
    topic="fire",
)
def seal(case: Case) -> Iterator[Action]:
    """The peak is noted and the kiln is not: cold air now cracks what is good."""
    peak = happened(case.entry, "peak")
    if peak is None or happened(case.entry, "sealed") or not (burning(case) or shut(case)):
        return
    if may_open(case):
        return
    yield case.act(
        "seal",
        "Spread the embers, then brick up and mud every opening; mend cracks as they show.",
        f"The peak is past ({case.say.clock(peak)}); cold air through hot bricks cracks them.",
        numbers={"since_peak": [case.context.hours_since(peak), "h"]},
        log="sealed",
        settled_by="sealed",
    )


MUDDED = "mud"
"""In a note: the cracks were closed."""
REMEDIES = {
    False: (
        "Shut the damper and every opening, and cover the top with ash or sand.",
        "damper shut",
    ),
    True: (
        "Mud every crack and leak, and heap more ash or sand on the top.",
        ": mudded the cracks",
    ),
}
"""What slows a fall, and the line that answers it: of a kiln that is open somewhere, or shut."""


CLOSED = frozenset({"shut", "closed", "in", "off", "0 %"})
"""What is said of a damper that lets nothing through."""


def is_closed(damper: str | None) -> bool:
    """Whether a damper stands so that nothing passes."""
    return damper is not None and damper.strip().casefold() in CLOSED


def closed_at(case: Case) -> datetime | None:
    """When something was last done that slows the fall."""
    times = [
        line.at
        for line in lines_of(case.entry)
        if is_closed(line.damper)
        or line.event == "sealed"
        or MUDDED in (line.note or "").casefold()
    ]
    return max(times, default=None)


def is_shut(case: Case) -> bool:
    """Whether damper and openings are closed, so that only cracks are left to close."""
    damper, sealed = last(case.entry, "damper"), happened(case.entry, "sealed")
    if damper is not None and not is_closed(damper.damper):
        return sealed is not None and sealed > damper.at
    return damper is not None or sealed is not None


@rule(
    "slow-the-fall",
    on=Firing,
    urgency=Urgency.WARE,
    source=f"the stress rule with fired properties; {QUARTZ}",
    topic="fall",
)
def slow_the_fall(case: Case) -> Iterator[Action]:
    """The kiln falls faster than the bricks stand, read since it was last closed further."""
    fall, allowed = case.number("fall"), case.number("allowed_fall")
    if not shut(case) or fall is None or allowed is None or not too_fast(case.review, "fall"):
        return
    if may_open(case) or stale(case):
        return
    closed = closed_at(case)
    newest = last(case.entry, "temperature")
    if closed is not None and (newest is None or newest.at <= closed):
        return  # it was done, and no reading tells yet what came of it
    limited = case.word("fall_is_limited_by") or "the stress in the brick"
    do, log = REMEDIES[is_shut(case)]
    yield case.act(
        "slow-the-fall",
        do,
        f"It falls {case.say.rate(fall)} where {case.say.rate(allowed)} is allowed, "
        f"{by_limit(limited)}; bricks that fall too fast ring dull and break with sharp edges.",
        numbers={"fall": [fall, "K/h"], "allowed_fall": [allowed, "K/h"]},
        log=log,
        rests_on=("fall", "allowed_fall", "fall_is_limited_by"),
        settled_by="it is closed further, or readings fall no faster than is allowed",
        reason=f"falls too fast by {limited}" + (", shut" if is_shut(case) else ""),
    )


@rule(
    "quartz-on-the-way-down",
    on=Firing,
    urgency=Urgency.TIMED,
    source=QUARTZ,
    topic="fall",
)
def quartz_on_the_way_down(case: Case) -> Iterator[Action]:
    """Face or core is between 620 and 520 °C on the way down: leave everything shut."""
    hot = hottest(case.result("core_temperature")) or hottest(case.result("face_temperature"))
    cold = case.number("face_temperature")
    if not shut(case) or hot is None or cold is None or cold > 640 or hot.value < 520:
        return
    if may_open(case) or stale(case):
        return
    yield case.act(
        "keep-shut",
        f"Leave every opening shut until the hottest brick is below {case.say.temperature(520)}.",
        f"They are at {case.say.temperature(cold)} to {case.say.temperature(hot.value)}; quartz "
        f"shrinks at {case.say.temperature(573)}; a fall above {case.say.rate(50)} cracks them.",
        numbers={"hottest": [hot.value, "degC"], "quartz": [573, "degC"], "most": [50, "K/h"]},
        log=readings(case.entry.log),
        rests_on=("core_temperature", "face_temperature"),
        settled_by="a reading below 520 °C",
        reason="quartz zone",
    )


@rule(
    "read-cooling",
    on=Firing,
    urgency=Urgency.TIMED,
    source="2 h while cooling, unless the maker set another",
    topic="reading",
)
def read_cooling(case: Case) -> Iterator[Action]:
    """A cooling kiln with a thermometer is to be read, so that the day it opens is known."""
    due = case.time("next_reading")
    if not shut(case) or due is None or last(case.entry, "temperature") is None:
        return
    if may_open(case):
        return
    yield case.act(
        "read",
        f"Read the temperature {case.say.at(due)}, through the probe alone; open nothing.",
        "The falling curve tells when the kiln may be opened.",
        when=due,
        log=readings(case.entry.log),
        rests_on=("next_reading", "opens"),
        settled_by="a reading",
        reason=f"reading due {due.isoformat(timespec='minutes')}",
    )


@rule(
    "keep-sealed",
    on=Firing,
    urgency=Urgency.TIMED,
    source="not before the core is below 100 °C, or what the maker set; common practice",
    topic="open",
)
def keep_sealed(case: Case) -> Iterator[Action]:
    """The kiln is cooling: it opens at such a time, and not before."""
    opens = case.time("opens")
    if not shut(case) or opens is None or opens <= case.now:
        return
    below = limit(case, "open_below", OPEN_BELOW)
    hot = hottest(case.result("core_temperature"))
    read = case.fact("last_reading")
    now = f"The hottest core is at {case.say.temperature(hot.value)}; " if hot else ""
    if hot and stale(case) and read is not None:
        about = case.say.temperature(hot.value)
        now = f"The hottest core was near {about} when last read, {case.say.clock(read)}; "
    falls = f"it falls below {case.say.temperature(below)} {case.say.at(opens)}."
    yield case.act(
        "open",
        f"Open the kiln a little at the top {case.say.at(opens)}, and not before.",
        (now + falls) if now else falls.capitalize(),
        when=opens,
        numbers={"open_below": [below, "degC"]},
        log="opened",
        rests_on=("opens", "core_temperature"),
        settled_by="opened",
        reason="opens later",
    )


@rule(
    "open-kiln",
    on=Firing,
    urgency=Urgency.TIMED,
    source="open below 100 °C and let air in slowly; common practice",
    topic="open",
)
def open_kiln(case: Case) -> Iterator[Action]:
    """The hottest core should now be below the opening temperature: read it, then open."""
    opens = case.time("opens")
    if not shut(case) or opens is None or not may_open(case):
        return
    below = case.say.temperature(limit(case, "open_below", OPEN_BELOW))
    yield case.act(
        "open",
        f"Read the temperature; if it is below {below}, open the top a little and let air in.",
        f"By the falling curve the hottest core passed {below} by {case.say.clock(opens)}.",
        when=None if case.now - opens < timedelta(hours=12) else opens,
        numbers={"open_below": [limit(case, "open_below", OPEN_BELOW), "degC"]},
        log="opened",
        rests_on=("opens",),
        settled_by="opened",
        reason="opens now",
    )


@rule(
    "cool-unread",
    on=Firing,
    urgency=Urgency.TIMED,
    source=f"20 to 24 h sealed for a small kiln: {AGUMBA}; longer for bricks",
    topic="open",
)
def cool_unread(case: Case) -> Iterator[Action]:
    """A sealed kiln has no readings to tell when it opens: judge by the hand on its outside."""
    sealed = happened(case.entry, "sealed") or happened(case.entry, "cooling")
    result = case.review.results.get("opens") if case.review else None
    if not shut(case) or sealed is None or (result and result.known):
        return
    due = sealed + timedelta(hours=24)
    yield case.act(
        "feel",
        "Feel the outside of the kiln a day after sealing; open nothing until it is hand-warm.",
        "No reading tells when the core is cool; a brick kiln takes one to several days.",
        when=due,
        numbers={"sealed_for": [24, "h"]},
        log=readings(case.entry.log),
        rests_on=("opens",),
        settled_by="a reading of the temperature inside, or opened",
        reason="no readings while cooling",
    )


@rule(
    "what-came-of-it",
    on=Firing,
    urgency=Urgency.TIMED,
    source="a kiln nobody feeds is cold within its slowest time constant, 30 h from memory",
    topic="reading",
)
def what_came_of_it(case: Case) -> Iterator[Action]:
    """Nothing was noted of a fire for so long that it must be out and cold."""
    if not gone_out(case):
        return
    last_line = case.entry.log[-1].at
    yield case.act(
        "close",
        "Write what came of this fire: when it was opened or unloaded, or a reading if it burns.",
        f"The last line is of {case.say.clock(last_line)}; unfed, a kiln is out and cold by now.",
        numbers={"silent": [case.context.hours_since(last_line) / 24, "days"]},
        log="unloaded",
        settled_by="opened, unloaded, or a new reading",
        reason=f"nothing since {last_line.isoformat(timespec='minutes')}",
    )


@rule(
    "unload",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="below 50 °C, from memory, or what the maker set",
    topic="open",
)
def unload(case: Case) -> Iterator[Action]:
    """The kiln is open: unload when the bricks can be held."""
    if phase(case) != "opened":
        return
    at = case.time("unload_at")
    below = case.say.temperature(limit(case, "unload_below", UNLOAD_BELOW))
    later = due_by_day(case.context, at if at is not None and at > case.now else None)
    when = f" {case.say.at(later)}" if later else ""
    yield case.act(
        "unload",
        f"Unload{when}, when the bricks are below {below}; count and sort them place by place.",
        "What came out of which place is the only record of what the fire did there.",
        when=later,
        numbers={"unload_below": [limit(case, "unload_below", UNLOAD_BELOW), "degC"]},
        log="sound … cracked … soft …",
        rests_on=("unload_at",),
        settled_by="unloaded, with the count",
    )
