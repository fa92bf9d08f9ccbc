"""What answers rest on is noted: entries, lists, other answers, the clock and moments compared."""

from datetime import timedelta

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from fieldbook.advice.keeping import Kept
from fieldbook.records import Batch
from tests.advice.build_records import State, at, context_of, notebook_of
from tests.advice.rule_states import SPEAKS

NOW = "2026-05-03 12:00"
FILES = {
    "batches/a": 'mix = "m"\ncount = 100\nmoulded = "2026-05-01"\n[log]\n'
    '"2026-05-02 08:00" = { broken = 1 }\n'
    '"2026-05-04 08:00" = { broken = 2 }\n',
    "batches/b": 'mix = "m"\ncount = 50\nmoulded = "2026-05-01"\n',
}


class Table:
    """A shelf that is a dict, over files that are one."""

    def __init__(self, files: dict[str, str]) -> None:
        self.files = files
        self.answers: dict[str, bytes] = {}
        self.epoch = 0

    def get(self, name: str) -> bytes | None:
        return self.answers.get(name)

    def put(self, name: str, answer: bytes) -> None:
        self.answers[name] = answer

    def state(self, address: str) -> str:
        if address.endswith("/"):
            return " ".join(sorted(name for name in self.files if name.startswith(address)))
        return self.files.get(address, "")


calls: list[str] = []


def left_of(context: Context, address: str) -> int:
    calls.append(address)
    batch = context.notebook.entry(address)
    assert isinstance(batch, Batch) and batch.count is not None
    return batch.count - sum(line.broken or 0 for line in batch.log)


def is_many(context: Context, address: str) -> bool:
    calls.append(f"many {address}")
    return context.once(left_of, address) > 60


def all_of_them(context: Context, _: str) -> int:
    calls.append("all")
    return sum(context.once(left_of, batch.address) for batch in context.notebook.of(Batch))


def hour(context: Context, _: str) -> int:
    calls.append("hour")
    return context.now.hour


def is_noon(context: Context, _: str) -> bool:
    calls.append("noon")
    return context.is_past(at("2026-05-03 12:30"))


def today(context: Context, _: str) -> str:
    calls.append("today")
    return str(context.today(context.zone))


@pytest.fixture
def ask():
    files, table = dict(FILES), None

    def run(work, address="", now=NOW, **changed):
        nonlocal table
        files.update(changed.get("changed", {}))
        table = table or Table(files)
        calls.clear()
        context = Context.of(notebook_of(files, now), at(now), table)
        return context.once(work, address), list(calls)

    return run


def test_what_is_at_hand_or_on_the_shelf_is_not_worked_out_again(ask):
    assert ask(left_of, "batches/a") == (99, ["batches/a"])
    assert ask(left_of, "batches/a") == (99, [])


def test_a_line_that_comes_of_age_counts(ask):
    ask(left_of, "batches/a")
    assert ask(left_of, "batches/a", "2026-05-04 07:59") == (99, [])
    assert ask(left_of, "batches/a", "2026-05-04 08:00") == (97, ["batches/a"])
    assert ask(left_of, "batches/a", "2026-05-02 07:59") == (100, ["batches/a"])


def test_an_answer_that_comes_out_the_same_leaves_alone_what_rests_on_it(ask):
    ask(is_many, "batches/a")
    changed = {"batches/a": FILES["batches/a"].replace("broken = 1", "broken = 2")}
    assert ask(is_many, "batches/a", changed=changed) == (True, ["batches/a", "many batches/a"])
    changed = {"batches/a": "# a remark\n" + changed["batches/a"]}
    assert ask(is_many, "batches/a", changed=changed) == (True, ["batches/a"])


def test_a_new_entry_counts_where_all_were_asked_for(ask):
    assert ask(all_of_them)[0] == 149
    new = {"batches/c": 'mix = "m"\ncount = 7\nmoulded = "2026-05-01"\n'}
    assert ask(left_of, "batches/b", changed=new) == (50, [])
    assert ask(all_of_them) == (156, ["all", "batches/c"])


def test_what_asks_the_time_is_asked_each_time_and_a_comparison_holds_until_it_turns(ask):
    assert ask(hour)[0] == 12
    assert ask(hour, now="2026-05-03 13:00") == (13, ["hour"])
    assert ask(is_noon) == (False, ["noon"])
    assert ask(is_noon, now="2026-05-03 12:29") == (False, [])
    assert ask(is_noon, now="2026-05-03 12:30") == (True, ["noon"])
    assert ask(is_noon, now="2026-06-03 12:30") == (True, [])
    assert ask(is_noon, now="2026-05-03 11:00") == (False, ["noon"])


def test_a_day_holds_from_midnight_to_midnight(ask):
    assert ask(today) == ("2026-05-03", ["today"])
    assert ask(today, now="2026-05-03 23:59") == ("2026-05-03", [])
    assert ask(today, now="2026-05-04 00:00") == ("2026-05-04", ["today"])
    assert ask(today, now="2026-05-03 00:00") == ("2026-05-03", ["today"])


def test_days_since_turn_with_the_hour(ask):
    def told(now: str) -> int:
        return Context.of(notebook_of(FILES, now), at(now)).days_since(at("2026-05-01 06:00"))

    assert [told(f"2026-05-03 {h}") for h in ("05:59", "06:00")] == [1, 2]


@pytest.mark.parametrize("name", sorted(SPEAKS))
def test_all_that_rules_say_can_be_packed_and_comes_out_as_it_was(name):
    context = context_of(SPEAKS[name])
    kept = Kept(context, None)
    actions = advise(context).actions
    again = kept.unpacked(kept.packed(actions))
    assert [each.json() for each in again] == [each.json() for each in actions]


def test_what_goes_without_an_answer_in_hand_is_not_kept():
    state = State(on="batches/a", files=dict(FILES), now=NOW)
    table = Table(state.files)
    context = Context.of(notebook_of(state.files, NOW), at(NOW), table)
    kept = context._kept

    def within(_: Context, address: str) -> bool:
        return kept.in_hand(within, address)

    assert context.once(within, "batches/a") is True
    assert not table.answers


def test_a_moment_before_and_after_bound_what_holds():
    context = Context.of(notebook_of(FILES, NOW), at(NOW), Table(FILES))
    answer = context._kept._answer("x", lambda c, _: c.days_since(at("2026-05-01 06:00")), "")
    assert answer.value == 2
    uses = answer.uses
    assert uses.holds_at(at(NOW)) and uses.holds_at(at("2026-05-03 06:00"))
    assert not uses.holds_at(at("2026-05-04 06:00"))
    assert not uses.holds_at(at("2026-05-03 06:00") - timedelta(seconds=1))


def test_an_older_look_neither_keeps_nor_takes_once_files_were_read_again():
    table = Table(dict(FILES))
    older = Context.of(notebook_of(FILES, NOW), at(NOW), table)
    table.epoch += 1
    assert older.once(left_of, "batches/a") == 99
    assert not table.answers


def test_answers_that_come_to_rest_on_each_other_end(ask):
    table = Table(dict(FILES))

    def context() -> Context:
        return Context.of(notebook_of(table.files, NOW), at(NOW), table)

    assert context().once(over, "batches/a") == 99
    table.files["batches/b"] += "# another\n"
    assert context().once(over, "batches/a") == 99


def over(context: Context, address: str) -> int:
    return context.once(under, "batches/b") + context.once(left_of, address)


def under(context: Context, address: str) -> int:
    entry = context.notebook.entry(address)
    assert isinstance(entry, Batch)
    if "another" in str(context._kept.shelf.state(address)) and not context._kept.in_hand(
        over, "batches/a"
    ):
        context.once(over, "batches/a")
    return 0
