"""An evening and a night at the kiln, at the screen in tmux; the captures are `docs/evening.md`.

`python -m tests.with_tools.evening --write` makes the page anew.
"""

import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from tests.small_yard import write_yard
from tests.with_tools.tmux import Pane

PAGE = Path(__file__).parents[2] / "docs" / "evening.md"
FIRING = "firings/2026-09-19.toml"
YARD = {
    "notebook.toml": """\
format = 1
title = "The yard at the ford"
maker = "ines"
timezone = "Europe/Dublin"

[measures]
armload = "8 kg"

[practice]
greatest_climb = "110 C/h"
reading_every = "1 h"
""",
    "clays/ford.toml": """\
place = "the bank above the ford"
liquid_limit = "38 %"
plastic_limit = "20 %"
organic_carbon = "2.5 %"
fizz = "none"
""",
    "mixes/ford-3-1.toml": """\
parts = [ { clay = "ford", volume = "3 l" }, { temper = "sand", volume = "1 l" } ]
no_hotter_than = "1050 C"
""",
    "kilns/little.toml": """\
title = "The little kiln"
form = "updraught"
length = "0.70 m"
width = "0.70 m"
height = "0.80 m"
places = ["top", "bottom"]
chimney = "1.5 m"
base = "sand"
wall = "fired brick"
wall_thickness = "115 mm"
wall_mass = "450 kg"
wall_area = "4.5 m2"
spread = "30 C"
capacity = 150

[log]
"2026-09-13 19:00:00+01:00" = { dried = true, note = "a small fire all afternoon" }
""",
    "batches/2026-08-thin.toml": """\
title = "Thin paviours"
mix = "ford-3-1"
moulded = 2026-08-08
count = 120
oven_dry = { wet_mass = "520 g", dry_mass = "430 g", at = "2026-08-08 17:00" }

[green]
length = "200 mm"
width = "95 mm"
height = "40 mm"

[marked]
"2" = { marks = "150.0 mm", mass = "1.41 kg", where = "top course" }
"3" = { marks = "150.0 mm", mass = "1.42 kg", where = "top course" }

[log]
"2026-09-10 09:00:00+01:00" = { brick = "2", mass = "1.18 kg", marks = "142.5 mm" }
"2026-09-10 09:01:00+01:00" = { brick = "3", mass = "1.19 kg", marks = "142.5 mm" }
"2026-09-12 09:00:00+01:00" = { brick = "2", mass = "1.18 kg" }
"2026-09-12 09:01:00+01:00" = { brick = "3", mass = "1.19 kg" }
""",
    FIRING: """\
kiln = "little"   # the floor was swept on Friday
load = [ { batch = "2026-08-thin", count = 120, place = "top", moisture = "1 %" } ]
setting = { gap = "15 mm", courses = 8 }
fuel = [ { name = "split ash", calorific_value = "18.5 MJ/kg", moisture = "15 %" } ]

[plan]
start = "2026-09-19 14:00"
peak = "960 C"
hold = "30 min"
""",
}


class Step(NamedTuple):
    """What is done at one moment of it, what is seen then, and what the page says of it."""

    at: str
    typed: str
    """A line for the prompt; a key in angle brackets is pressed alone."""
    sees: tuple[str, ...]
    """What stands on the screen before it goes on."""
    told: str = ""
    """Said over the capture; without it there is none."""


STEPS = (
    Step(
        "2026-09-19 13:55",
        "",
        ("Rope off", "why: "),
        "The bricks are set. `fieldbook` opens on what to do now; `f` opens the firing.",
    ),
    Step("2026-09-19 14:00", "<f>", ("planned",)),
    Step("2026-09-19 14:00", "<Tab>", ("Enter save",)),
    Step(
        "2026-09-19 14:00",
        "lit",
        ("saved: 14:00", "reading next at 15:00"),
        "Lit. From here on a line is typed, read back below, and saved with Enter.",
    ),
    Step("2026-09-19 14:20", ": watch kept by ines and tadhg", ("saved: 14:20",)),
    Step("2026-09-19 15:05", "52C top", ("saved: 15:05", "next at 16:05")),
    Step("2026-09-19 16:05", "169F top", ("saved: 16:05", "next at 17:05")),
    Step(
        "2026-09-19 17:05",
        "95C top, steam",
        ("saved: 17:05", "next at 18:05"),
        "Water is leaving. What is seen goes into the same line as the reading.",
    ),
    Step("2026-09-19 17:20", "+2 armload split ash", ("saved: 17:20", "16 kg put on")),
    Step(
        "2026-09-19 18:40",
        "",
        ("OVERDUE since 18:05",),
        "The reading is late: the screen says so, and says less rather than guess on.",
    ),
    Step("2026-09-19 18:40", "97C top, no steam", ("saved: 18:40", "next at 19:40")),
    Step("2026-09-19 19:40", "390F top", ("saved: 19:40", "next at 20:40")),
    Step("2026-09-19 20:40", "305C top", ("saved: 20:40", "next at 21:40")),
    Step("2026-09-19 21:40", "770F top", ("saved: 21:40", "next at 22:40")),
    Step("2026-09-19 22:40", "516C top", ("saved: 22:40", "next at 23:40")),
    Step(
        "2026-09-19 23:45",
        "dull red top",
        ("saved: 23:45",),
    ),
    Step("2026-09-19 23:46", "1049F top", ("saved: 23:46", "next at")),
    Step("2026-09-20 00:45", "610C top", ("saved: 00:45", "next at")),
    Step("2026-09-20 02:05", "1290F top", ("saved: 02:05", "next at")),
    Step(
        "2026-09-20 02:10",
        "draw 3 black core",
        ("saved: 02:10",),
        "A draw brick is broken: its core is black. The screen asks for a hold, with its length.",
    ),
    Step("2026-09-20 03:10", "702C top", ("saved: 03:10",)),
    Step(
        "2026-09-20 03:15",
        "draw 2 even core",
        ("saved: 03:15",),
        "The hold was kept, and the second brick is even through: the climb goes on.",
    ),
    Step("2026-09-20 04:15", "1450F top", ("saved: 04:15", "next at")),
    Step("2026-09-20 05:15", "870C top", ("saved: 05:15", "next at")),
    Step("2026-09-20 06:15", "958C top", ("saved: 06:15",), "At the peak."),
    Step("2026-09-20 06:16", "peak", ("saved: 06:16",)),
    Step("2026-09-20 06:46", "1760F top", ("saved: 06:46",)),
    Step("2026-09-20 06:47", "sealed", ("saved: 06:47",), "Sealed. The fire is let go."),
    Step("2026-09-20 12:00", "512C top", ("saved: 12:00",)),
    Step("2026-09-20 12:01", "cooling", ("saved: 12:01",), "It cools; the screen says how fast."),
)


BY_HAND = (
    YARD[FIRING]
    + """
[log]
"2026-09-19 14:00:00+01:00" = { event = "lit", by = "ines" }
"2026-09-19 14:20:00+01:00" = { by = "ines", note = "watch kept by ines and tadhg" }
"2026-09-19 15:05:00+01:00" = { temperature = "52 C", place = "top", by = "ines" }
"2026-09-19 16:05:00+01:00" = { temperature = "169 F", place = "top", by = "ines" }
"2026-09-19 17:05:00+01:00" = { temperature = "95 C", place = "top", steam = true, by = "ines" }
"2026-09-19 17:20:00+01:00" = { fuel = "2 armload", of = "split ash", by = "ines" }
"2026-09-19 18:40:00+01:00" = { temperature = "97 C", place = "top", steam = false, by = "ines" }
"2026-09-19 19:40:00+01:00" = { temperature = "390 F", place = "top", by = "ines" }
"2026-09-19 20:40:00+01:00" = { temperature = "305 C", place = "top", by = "ines" }
"2026-09-19 21:40:00+01:00" = { temperature = "770 F", place = "top", by = "ines" }
"2026-09-19 22:40:00+01:00" = { temperature = "516 C", place = "top", by = "ines" }
"2026-09-19 23:45:00+01:00" = { glow = "dull red", place = "top", by = "ines" }
"2026-09-19 23:46:00+01:00" = { temperature = "1049 F", place = "top", by = "ines" }
"2026-09-20 00:45:00+01:00" = { temperature = "610 C", place = "top", by = "ines" }
"2026-09-20 02:05:00+01:00" = { temperature = "1290 F", place = "top", by = "ines" }
"2026-09-20 02:10:00+01:00" = { draw = "3", core = "black", by = "ines" }
"2026-09-20 03:10:00+01:00" = { temperature = "702 C", place = "top", by = "ines" }
"2026-09-20 03:15:00+01:00" = { draw = "2", core = "even", by = "ines" }
"2026-09-20 04:15:00+01:00" = { temperature = "1450 F", place = "top", by = "ines" }
"2026-09-20 05:15:00+01:00" = { temperature = "870 C", place = "top", by = "ines" }
"2026-09-20 06:15:00+01:00" = { temperature = "958 C", place = "top", by = "ines" }
"2026-09-20 06:16:00+01:00" = { event = "peak", by = "ines" }
"2026-09-20 06:46:00+01:00" = { temperature = "1760 F", place = "top", by = "ines" }
"2026-09-20 06:47:00+01:00" = { event = "sealed", by = "ines" }
"2026-09-20 12:00:00+01:00" = { temperature = "512 C", place = "top", by = "ines" }
"2026-09-20 12:01:00+01:00" = { event = "cooling", by = "ines" }
"""
)
"""The firing as a careful maker would have written it with pen or editor."""

HEAD = """\
# An evening and a night at the kiln

The screen at 80 by 24, as it stood in `tmux`. The test that lives through it took every picture:
`python -m tests.with_tools.evening --write`. Ines and Tadhg fire 120 thin paviours. A line such
as `169F top` is typed from wherever one is, and is on the disk with one Enter.

"""


def evening() -> tuple[list[tuple[Step, str]], str]:
    """Live through it; the captured screens, and the file afterwards."""
    captured = []
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        notebook = write_yard(folder / "yard", YARD)
        pane = Pane(folder, notebook, f"{STEPS[0].at}+01:00")
        try:
            for step in STEPS:
                if not step.typed:
                    pane.wait_for("")  # what was typed last is taken up whole
                pane.move_clock(f"{step.at}+01:00")
                if step.typed.startswith("<"):
                    pane.press(step.typed.strip("<>"))
                elif step.typed:
                    pane.type(step.typed)
                    pane.press("Enter")
                shown = pane.wait_for(*step.sees, settled=bool(step.told))
                if step.told:
                    captured.append((step, shown))
        finally:
            pane.close()
        return captured, (notebook / FIRING).read_text(encoding="utf-8")


def page(captured: list[tuple[Step, str]], file: str) -> str:
    """The page of the docs."""
    parts = [HEAD]
    for step, shown in captured:
        typed = f" `{step.typed}`" if step.typed else ""
        parts.append(f"## {step.at[11:]}{typed}\n\n{step.told}\n\n```text\n{shown}\n```\n\n")
    told = "Afterwards the file holds what was typed, and what was there before it to the byte."
    parts.append(f"## The file\n\n{told}\n\n```toml\n{file}```\n")
    return "".join(parts)


def main() -> None:
    made = page(*evening())
    if "--write" in sys.argv:
        PAGE.write_text(made, encoding="utf-8")
    else:
        print(made)


if __name__ == "__main__":
    main()
