"""From an empty notebook to a brick in use: at every stage something is asked that leads on.

The reviews are the program's own; each stage adds what the one before it asked for.
"""

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from tests.advice.build_records import at, notebook_of

COIL = 'depth = "0.6 m"\ncoil = "90 mm"\n'
CLAY = COIL + 'fizz = "none"\n[jar]\nsand = "30 mm"\nsilt = "30 mm"\nclay = "40 mm"\n'
MIX = 'parts = [{ clay = "pit", mass = "4 kg" }, { temper = "sand", mass = "1 kg" }]\n'
WET = ", ".join(['wet = "100.0 mm"', 'wet_mass = "160 g"'])
DRY = WET + ', dry = "94.0 mm", dry_mass = "125 g"'
FIRED = DRY + ', fired = "92.5 mm", fired_mass = "115 g", fired_at = "950 C", went = "sound"'
SOAKED = FIRED + ', soaked_mass = "131 g"'
KILN = (
    'base = "sand"\nform = "updraught"\nplaces = ["top", "bottom"]\nlength = "1 m"\nwidth = "1 m"\n'
    'height = "1 m"\n[log]\n"2026-04-20 08:00" = { dried = true }\n'
)
SIDES = 'length = "246 mm"\nwidth = "118 mm"\nheight = "75 mm"\n'
BATCH = f"""
mix = "plain"
moulded = "2026-04-02 09:00"
count = 60
oven_dry = {{ wet_mass = "1000 g", dry_mass = "800 g" }}
[green]
{SIDES}"""
MARKED = '[marked]\n"1" = { mass = "3.25 kg", marks = "150.0 mm" }\n'
WEIGHED = (
    MARKED
    + "[log]\n"
    + "".join(
        f'"2026-04-{day:02d} 09:00" = {{ brick = "1", mass = "{mass} kg" }}\n'
        for day, mass in ((4, "3.05"), (7, "2.85"), (11, "2.72"), (16, "2.66"), (22, "2.65"))
    )
)
PLANNED = """
kiln = "small"
load = [{ batch = "april", count = 60, place = "top" }]
setting = { gap = "20 mm" }
fuel = [{ name = "split ash", moisture = "18 %" }]
plan = { peak = "950 C" }
"""
LOG = '[log]\n"2026-04-25 06:00" = { event = "lit" }\n'
HOT = LOG + "".join(
    f'"2026-04-{25 + h // 24} {h % 24:02d}:00" = {{ temperature = "{t} C", probe = "face" }}\n'
    for h, t in (
        (8, 60),
        (12, 110),
        (20, 112),
        (26, 350),
        (32, 600),
        (40, 940),
        (41, 955),
        (42, 955),
    )
)
PEAK = HOT + '"2026-04-26 18:10" = { event = "peak" }\n'
SEALED = PEAK + '"2026-04-26 19:00" = { event = "sealed" }\n'
OPENED = SEALED + '"2026-04-28 19:00" = { event = "opened" }\n'
OUT = OPENED + '"2026-04-29 09:00" = { event = "unloaded" }\n'
COUNTED = (
    PLANNED + 'unloaded = [{ batch = "april", place = "top", sound = 58, cracked = 2 }]\n' + OUT
)
TEST = 'batch = "april"\nfiring = "may"\nstandard = "IS 1077"\n[specimens]\n'
FIVE = "".join(f'"{n}" = {{ dry_mass = "2.45 kg" }}\n' for n in range(1, 6))
SOAK = FIVE + '[log]\n"2026-05-01 10:00" = { soak = "began" }\n'
WALL = 'form = "wall"\nmix = "plain"\nexposure = "indoors"\n'


def one(**files: str) -> dict[str, str]:
    return {name.replace("__", "/"): text for name, text in files.items()}


def bars(inside: str) -> str:
    return f'{MIX}[bars]\n"1" = {{ {inside} }}\n"2" = {{ {inside} }}\n'


YARD = one(clays__pit=CLAY, mixes__plain=bars(SOAKED), kilns__small=KILN)
DRIED = {**YARD, "batches/april": BATCH + WEIGHED}

STAGES = [
    ("first-clay", {}, "2026-04-01 09:00"),
    ("roll-a-coil", one(clays__pit=""), "2026-04-01 09:00"),
    ("drop-of-acid", one(clays__pit=COIL), "2026-04-01 09:00"),
    ("first-mix", one(clays__pit=CLAY), "2026-04-01 09:00"),
    ("mould-trial-bars", one(clays__pit=CLAY, mixes__plain=MIX), "2026-04-01 09:00"),
    ("first-kiln", one(clays__pit=CLAY, mixes__plain=MIX), "2026-04-01 09:00"),
    ("measure-dry-bars", one(clays__pit=CLAY, mixes__plain=bars(WET)), "2026-04-01 09:00"),
    ("fire-bars", {**YARD, "mixes/plain": bars(DRY)}, "2026-04-01 09:00"),
    ("soak-bars", one(clays__pit=CLAY, mixes__plain=bars(FIRED)), "2026-04-01 09:00"),
    ("prove-with-fifty", YARD, "2026-04-01 09:00"),
    ("mark-bricks", {**YARD, "batches/april": BATCH}, "2026-04-02 12:00"),
    ("weigh", {**YARD, "batches/april": BATCH + MARKED}, "2026-04-02 12:00"),
    ("fire-batch", DRIED, "2026-04-23 09:00"),
    ("light-at", {**DRIED, "firings/may": PLANNED}, "2026-04-24 09:00"),
    ("clear-the-ring", {**DRIED, "firings/may": PLANNED}, "2026-04-24 09:00"),
    ("read-now", {**DRIED, "firings/may": PLANNED + HOT}, "2026-04-25 13:00"),
    ("climb-on", {**DRIED, "firings/may": PLANNED + HOT}, "2026-04-26 02:10"),
    ("seal", {**DRIED, "firings/may": PLANNED + PEAK}, "2026-04-26 18:15"),
    ("keep-sealed", {**DRIED, "firings/may": PLANNED + SEALED}, "2026-04-26 20:00"),
    ("open-kiln", {**DRIED, "firings/may": PLANNED + SEALED}, "2026-04-30 20:00"),
    ("unload", {**DRIED, "firings/may": PLANNED + OPENED}, "2026-04-29 08:00"),
    ("count-and-sort", {**DRIED, "firings/may": PLANNED + OUT}, "2026-04-29 12:00"),
    ("test-bricks", {**DRIED, "firings/may": COUNTED}, "2026-04-29 12:00"),
    ("take-five", {**DRIED, "firings/may": COUNTED, "tests/one": TEST}, "2026-04-30 12:00"),
    ("start-soak", {**DRIED, "firings/may": COUNTED, "tests/one": TEST + FIVE}, "2026-05-01 09:00"),
    ("end-soak", {**DRIED, "firings/may": COUNTED, "tests/one": TEST + SOAK}, "2026-05-01 12:00"),
    ("first-build", {**DRIED, "firings/may": COUNTED}, "2026-05-01 12:00"),
    ("say-the-size", {**DRIED, "builds/wall": WALL}, "2026-05-01 12:00"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "files", "now"), STAGES, ids=[stage[0] for stage in STAGES])
def test_at_every_stage_what_leads_on_is_asked(rule, files, now):
    advice = advise(Context.of(notebook_of(files, now), at(now)))
    assert rule in [action.rule for action in advice.actions]


@pytest.mark.parametrize(("rule", "files", "now"), STAGES, ids=[stage[0] for stage in STAGES])
def test_a_single_yard_is_never_asked_more_than_a_screen_full(rule, files, now):
    advice = advise(Context.of(notebook_of(files, now), at(now)))
    assert 1 <= len(advice.actions) <= 12
