"""What a sync did, in words of the notebook: few of them where much was done."""

from fieldbook.sync.syncing import Plan, Report
from fieldbook.sync.words import shortened, words_of

BATCH = b'mix = "m"\ncount = 96\n'


def test_a_dispute_is_told_as_one_and_so_is_its_end():
    open_one = BATCH + b"\n[disputed]\ncount = [96, 97]\n"
    assert words_of({"batches/a.toml": (BATCH, open_one)}) == [
        "two values for count of batch a: choose one (fieldbook news)"
    ]
    settled = BATCH.replace(b"96", b"97")
    assert words_of({"batches/a.toml": (open_one, settled)}) == ["count of batch a settled"]


def test_a_rename_is_no_removal():
    sides = {"batches/a.toml": (BATCH, None), "batches/b.toml": (None, BATCH)}
    assert words_of(sides) == ["batch a is now b"]
    assert words_of({**sides, "batches/b.toml": (None, BATCH + b"water = 1\n")}) == [
        "batch a removed",
        "batch b begun",
    ]


def test_a_whole_notebook_that_comes_is_told_in_one_line():
    many = [f"batch n{n} begun" for n in range(30)] + [
        "clay bank begun",
        "count of batch x changed",
    ]
    assert shortened(many) == ["1 clay, 30 batches begun", "count of batch x changed"]
    assert shortened(many[:5]) == many[:5]
    changed = [f"count of batch n{n} changed" for n in range(30)]
    assert shortened(changed)[-1] == "and 14 more; fieldbook news tells them"
    assert len(shortened(changed)) == 17
    assert Report((), tuple(many)).lines()[0] == "taken in: 1 clay, 30 batches begun"
    assert len(Plan(tuple(many), (), "").lines()) == 2
