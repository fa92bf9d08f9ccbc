"""A notebook in memory that holds one firing, as a maker writes it down while it burns."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from fieldbook.quantities import read_amount
from fieldbook.records import FiringLine, Notebook
from tests.advice.build_records import notebook_of

ZONE = ZoneInfo("America/Chicago")
LIT = datetime(2026, 5, 3, 6, tzinfo=ZONE)
FIRING = "firings/drawn"
CLAY = 'fizz = "none"\n'
MIX = 'parts = [{ clay = "pit", mass = "10 kg" }]\n'


class Yard:
    """What is known of a drawn kiln and its bricks, and the log of its fire."""

    def __init__(self, kiln, peak, hold):
        mass, wall = kiln.brick_mass, kiln.wall_mass
        batch = (
            'mix = "plain"\nmoulded = 2026-04-02\n'
            f"count = {kiln.bricks}\n"
            'green = { length = "230 mm", width = "110 mm", height = "70 mm" }\n'
            'oven_dry = { wet_mass = "125 g", dry_mass = "100 g" }\n'
            f'[marked]\n"1" = {{ mass = "{1.25 * mass:.2f} kg" }}\n'
        )
        side = (kiln.bricks / 500) ** (1 / 3)
        # the maker's meter is right: a net value of 18.65 MJ/kg dry falls with the water
        wet = 100 * (18.65 - kiln.value) / 21.09
        firing = (
            'kiln = "small"\n'
            f'load = [{{ batch = "april", count = {kiln.bricks}, place = "cold", '
            f'moisture = "{100 * kiln.water:.1f} %" }}]\n'
            'setting = { gap = "20 mm" }\n'
            f'fuel = [{{ name = "wood", moisture = "{wet:.0f} %" }}]\n'
            f'plan = {{ peak = "{peak:.0f} C", hold = "{hold:g} h" }}\n'
        )
        self.files = {
            "clays/pit": CLAY,
            "mixes/plain": MIX,
            "kilns/small": (
                'base = "sand"\nplaces = ["hot", "cold"]\n'
                f'wall_mass = "{wall:.0f} kg"\n'
                + "".join(f'{n} = "{side:.2f} m"\n' for n in ("length", "width", "height"))
            ),
            "batches/april": batch,
            FIRING: firing,
        }
        read = notebook_of(self.files, "2026-05-03 05:00")
        self.settings, self.addresses = read.settings, read.addresses
        self.entries = {address: read.load(address) for address in read.addresses}
        self.lines = []
        self.note(0.0, event="lit")
        self.note(0.0, air=f"{kiln.air:.0f} C")

    def note(self, hour, **fields):
        """One line of the log."""
        amounts = {"temperature": "temperature", "fuel": "mass", "air": "temperature"}
        where = f"{FIRING}.toml:{len(self.lines) + 20}"
        values = {
            name: replace(read_amount(value, amounts[name]), where=where)
            if name in amounts
            else value
            for name, value in fields.items()
        }
        at = LIT + timedelta(hours=hour)
        self.lines.append(FiringLine(at=at, where=where, **values))

    def notebook(self, hour):
        """The notebook as it stands, and the moment."""
        now = LIT + timedelta(hours=hour)
        burning = replace(self.entries[FIRING], log=tuple(self.lines))
        entries = {**self.entries, FIRING: burning}
        return Notebook(
            settings=self.settings, addresses=self.addresses, load=entries.get, now=now
        ), now
