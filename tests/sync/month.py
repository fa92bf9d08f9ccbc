"""Two makers and a month: what each wrote, kept and sent, on a clock of its own."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tests.sync.clock import Clock
from tests.sync.conftest import Maker, git

MIX = 'parts = [ { clay = "reach", volume = "3 l" }, { temper = "sand", volume = "1 l" } ]\n'
KILN = 'form = "updraught"\nplaces = ["top", "bottom"]\nbase = "fired brick"\n'
BANK = """\
place = "the old bank, west side"
liquid_limit = "41 %"
plastic_limit = "21 %"

[jar]
sand = "24 mm"
silt = "31 mm"
clay = "29 mm"

[bars]
"1" = { wet = "100.0 mm", dry = "94.0 mm", fired = "92.5 mm" }
"2" = { wet = "100.0 mm", dry = "94.0 mm", fired = "92.5 mm" }
"""


def two_makers(tmp_path, monkeypatch) -> tuple[Maker, Maker, Clock]:
    """Ines and Tomas with a clone each of what Ines began, and the clock that both keep by."""
    stick = tmp_path / "stick.git"
    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", str(stick))
    clock = Clock(monkeypatch)
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    ines = Maker(tmp_path / "ines", "ines", monkeypatch)
    ines.sync.share(str(stick))
    own_work(ines, clock)
    tomas = Maker(tmp_path / "tomas", "tomas", monkeypatch)
    (tomas.folder / "notebook.toml").unlink()
    tomas.sync.share(str(stick))
    return ines, tomas, clock


def batch(mix: str, moulded: str, count: int = 180) -> str:
    return (
        f'mix = "{mix}"\nmoulded = {moulded}\ncount = {count}\n'
        'green = { length = "246 mm", width = "118 mm", height = "75 mm" }\n\n'
        '[marked]\n"1" = { marks = "150.0 mm", mass = "3.25 kg" }\n\n[log]\n'
    )


def firing(
    bricks: str,
    lit: str,
    *,
    moisture: str,
    climb: float,
    peak: float,
    hold: float,
    wood: int,
    came_out: dict[str, int],
    gap: str = "10 mm",
    kiln: str = "small",
) -> str:
    """A firing from lighting to unloading, read every hour."""
    begun = datetime.fromisoformat(lit).replace(tzinfo=UTC)
    count = sum(came_out.values())
    said = ", ".join(f"{word} = {number}" for word, number in came_out.items())
    lines = [(0.0, 'event = "lit"')]
    hours, at = 0.0, 20.0
    while at < peak:
        lines.append((hours + 0.02, f'temperature = "{at:.0f} C", place = "top"'))
        hours, at = hours + 1, at + climb
    for hour in range(int(hold) + 1):
        lines.append((hours + hour, f'temperature = "{peak:.0f} C", place = "top"'))
    hours += hold
    lines.append((hours + 0.1, 'event = "sealed"'))
    loads = [number / 4 for number in range(1, 5)]
    lines += [(hours * part * 0.9, f'fuel = "{wood / 4:.0f} kg", of = "ash"') for part in loads]
    for hour in (6, 12, 24):
        hot = 20 + (peak - 20) * 0.5 ** (hour / 6)
        lines.append((hours + hour, f'temperature = "{hot:.0f} C", place = "top"'))
    lines.append((hours + 40, 'event = "opened"'))
    lines.append((hours + 44, 'event = "unloaded"'))
    log = "".join(
        f'"{begun + timedelta(hours=hour):%Y-%m-%d %H:%M:%S}+00:00" = {{ {text} }}\n'
        for hour, text in sorted(lines)
    )
    return (
        f'kiln = "{kiln}"\n'
        f'load = [ {{ batch = "{bricks}", count = {count}, place = "top", '
        f'moisture = "{moisture}" }} ]\n'
        f'setting = {{ gap = "{gap}", courses = 9 }}\n'
        'fuel = [ { name = "ash", calorific_value = "18.3 MJ/kg", moisture = "15 %" } ]\n'
        f'unloaded = [ {{ batch = "{bricks}", place = "top", {said} }} ]\n\n[log]\n{log}'
    )


def absorption(bricks: str, fired: str, soaked: list[int]) -> str:
    rows = "".join(
        f'"{number}" = {{ dry_mass = "2000 g", soaked_mass = "{mass} g" }}\n'
        for number, mass in enumerate(soaked, 1)
    )
    return f'batch = "{bricks}"\nfiring = "{fired}"\n\n[specimens]\n{rows}'


def own_work(ines: Maker, clock: Clock) -> None:
    """What Ines had before the month: a firing too fast, of bricks too wet."""
    clock.set("2026-08-01T18:00:00")
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    ines.write("mixes/reach-3-1.toml", MIX)
    ines.write("kilns/small.toml", KILN)
    ines.write("batches/july.toml", batch("reach-3-1", "2026-06-20"))
    ines.write(
        "firings/2026-07-25.toml",
        firing(
            "july", "2026-07-25T06:00", moisture="6 %", climb=90, peak=890, hold=0, wood=400,
            came_out={"sound": 112, "cracked": 60, "soft": 8},
        ),
    )  # fmt: skip
    ines.write("tests/july.toml", absorption("july", "2026-07-25", [2300, 2310, 2290, 2305, 2295]))
    ines.sync.apply()


def a_month(tomas: Maker, clock: Clock) -> None:
    """What Tomas did in a month, week by week, each week kept and sent."""
    clock.set("2026-08-05T18:00:00")
    tomas.sync.apply()
    tomas.write("clays/bank.toml", BANK)
    tomas.write("kilns/bee.toml", KILN)
    tomas.write("mixes/bank-4-1.toml", MIX.replace("reach", "bank").replace("3 l", "4 l"))
    tomas.write("batches/tomas-a.toml", batch("reach-3-1", "2026-07-10"))
    tomas.sync.apply()
    clock.set("2026-08-14T18:00:00")
    tomas.write(
        "firings/2026-08-12.toml",
        firing(
            "tomas-a", "2026-08-12T06:00", moisture="2 %", climb=40, peak=960, hold=3, wood=210,
            came_out={"sound": 172, "cracked": 8}, gap="20 mm", kiln="bee",
        ),
    )  # fmt: skip
    tomas.sync.apply()
    clock.set("2026-08-20T18:00:00")
    tomas.write(
        "tests/tomas-a.toml", absorption("tomas-a", "2026-08-12", [2200, 2206, 2194, 2203, 2197])
    )
    tomas.write("batches/tomas-b.toml", batch("bank-4-1", "2026-07-30"))
    tomas.sync.apply()
    clock.set("2026-08-30T18:00:00")
    tomas.write(
        "firings/2026-08-27.toml",
        firing(
            "tomas-b", "2026-08-27T06:00", moisture="7 %", climb=95, peak=880, hold=0, wood=420,
            came_out={"sound": 90, "cracked": 80, "soft": 10}, kiln="bee",
        ),
    )  # fmt: skip
    tomas.add(
        "batches/tomas-b.toml", '"2026-08-20 09:00:00+00:00" = { brick = "1", mass = "2.9 kg" }'
    )
    tomas.add("batches/tomas-b.toml", '"2026-08-24 09:00:00+00:00" = { turned = true }')
    tomas.sync.apply()
