"""Firings that the tests of rules share: a load, a kiln and logs of different hours."""

from tests.advice.build_records import State

CLAY = 'fizz = "none"\n'
MIX = 'parts = [{ clay = "pit", mass = "10 kg" }]\n[bars]\n"1" = { fired = "93 mm" }\n'
GREEN_BATCH = """
mix = "m"
moulded = 2026-04-02
count = 180
[green]
length = "246 mm"
width = "118 mm"
height = "75 mm"
[marked]
"1" = { mass = "3.25 kg" }
"""
"""A batch of which little is written."""
METRE_KILN = 'form = "updraught"\nlength = "1 m"\nwidth = "1 m"\nheight = "1 m"\n'
SCRIBED_BATCH = GREEN_BATCH.replace('"3.25 kg" }', '"3.25 kg", marks = "150.0 mm" }')
"""The same with two lines scribed on its marked brick."""
BATCH = SCRIBED_BATCH.replace('mix = "m"', 'mix = "plain"')
KILN = 'base = "sand"\nform = "updraught"\nplaces = ["top", "bottom"]\n'
HEAD = """
kiln = "small"
load = [{ batch = "april", count = 150, place = "top" }]
setting = { gap = "20 mm" }
fuel = [{ name = "split ash", moisture = "18 %" }]
[plan]
peak = "950 C"
"""
LIT = '"2026-05-03 06:00" = { event = "lit" }\n'
YARD = {
    "clays/pit": CLAY,
    "mixes/plain": MIX,
    "batches/april": BATCH,
    "kilns/small": KILN + '[log]\n"2026-04-01 08:00" = { dried = true }\n',
}


def firing(log: str = "", head: str = HEAD, now: str = "2026-05-03 12:00", **more: object) -> State:
    """A firing with such a log, in a yard where all else is in order."""
    files = {**YARD, "firings/may": f"{head}\n[log]\n{log}"}
    extra = more.pop("files", None)
    if isinstance(extra, dict):
        files.update(extra)
    return State(on="firings/may", files=files, now=now, **more)


def burning(log: str = "", phase: str = "climbing", **more: object) -> State:
    """A firing lit at six, asked about at noon."""
    facts = {"phase": phase, **(more.pop("facts", None) or {})}
    return firing(LIT + log, facts=facts, **more)


def cooling(log: str = "", phase: str = "cooling", **more: object) -> State:
    """A firing sealed in the evening, asked about the next noon."""
    facts = {"phase": phase, **(more.pop("facts", None) or {})}
    sealed = '"2026-05-03 18:00" = { event = "peak" }\n"2026-05-03 19:00" = { event = "sealed" }\n'
    more.setdefault("now", "2026-05-04 12:00")
    return firing(LIT + sealed + log, facts=facts, **more)
