"""Seasons played through by makers who do only what the advice says; the long ones are by hand.

`python -m tests.bench.season` plays them with a kiln that answers to wood alone.
"""


from fieldbook.advice.context import Context
from tests.advice.build_records import at, notebook_of
from tests.advice.test_way_through import DRIED, PLANNED

FALLING = "".join(
    f'"2026-04-25 {hour:02d}:{minute:02d}" = {{ temperature = "{130 - 3 * n} C", place = "top" }}\n'
    for n, (hour, minute) in enumerate((h, m) for h in (7, 8, 9, 10) for m in (0, 20, 40))
)
LIT = '[log]\n"2026-04-25 06:00" = { event = "lit" }\n"2026-04-25 06:30" = { fuel = "2 kg" }\n'


def test_a_fire_that_was_told_to_burn_no_more_wood_is_told_when_to_burn_some_again():
    """Four hours without a line of wood, and it falls: nothing was burnt that is not noted."""
    files = {**DRIED, "firings/may": PLANNED + LIT + FALLING}
    context = Context.of(notebook_of(files, "2026-04-25 10:42"), at("2026-04-25 10:42"))
    assert context.review("firings/may").number("next_feed") is not None
