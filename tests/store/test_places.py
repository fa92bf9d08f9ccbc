"""The line of every key, held against tomllib, which is the judge of what a text says."""

import tomllib
from itertools import count

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldbook.store.places import Layout, dotted, parts_of

TEXT = """\
a = 1
load = [
  { batch = "x", count = 2 }, # a bracket ] in a remark
  # a remark alone
  { batch = 'y', count = 3 }
]
note = \"\"\"
[log]
b = 4
\"\"\"
"q.r".s = 5
[[f]]
a = 6
[[f]]
b = [[7, 8], [
9]]
[f.sub]
z = 10

  [log]   # the end
"2026-05-03 07:40" = { temperature = "212 degF", note = "} # ] [" }
'k' = { n = '''a } # b
foo = 1
''', m = 11 }"""


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_each_key_has_the_line_it_stands_on(newline):
    layout = Layout(TEXT.replace("\n", newline))
    expected = {
        ("a",): 1,
        ("load",): 2,
        ("load", 1, "count"): 3,
        ("load", 2, "batch"): 5,
        ("note",): 7,
        ("q.r", "s"): 11,
        ("f", 1, "a"): 13,
        ("f", 2, "b", 2, 1): 16,
        ("f", 2, "sub", "z"): 18,
        ("log",): 20,
        ("log", "2026-05-03 07:40", "temperature"): 21,
        ("log", "k", "m"): 24,
    }
    assert {path: layout.line(path) for path in expected} == expected
    assert layout.line(("nowhere",)) is None


def test_statements_cover_their_own_lines_and_no_others():
    layout = Layout(TEXT)
    pieces = [TEXT[s.start : s.end] for s in layout.statements]
    assert pieces[1].startswith("load = [") and pieces[1].endswith("]\n")
    assert pieces[2] == 'note = """\n[log]\nb = 4\n"""\n'
    assert "".join(pieces) == TEXT.replace("\n  [log]", "  [log]", 1)


def test_paths_are_written_and_taken_apart_alike():
    path = ("specimens", "3 b", "dry_mass")
    assert dotted(path) == 'specimens."3 b".dry_mass'
    assert parts_of(dotted(path)) == list(path)
    assert parts_of(r"'a.b' . c . \"d\u0041\"".replace('\\"', '"')) == ["a.b", "c", "dA"]


KEYS = st.sampled_from(["a", "b", "c", '"d.e"', "'f g'", "2026-05-03", '"\\u0041"', "a.b", "a . c"])
TEXTS = st.sampled_from(
    [
        '"x # ] }"',
        "'[y]'",
        '"""one\n[a]\nb = 0\n"""',
        "'''\n# x\n'''",
        '"""a\\"""b"""""',
        '""',
        "''",
        '"\\\\"',
        "''''x'''''",
        '"""\\\n  x"""',
    ]
)
GAPS = st.sampled_from(["", " ", "\n", " # ] remark\n", "\n\n  "])
VALUES = st.recursive(
    st.just("N") | TEXTS | st.sampled_from(["true", "1979-05-27 07:32:00", "-1.5e3"]),
    lambda inner: (
        st.lists(st.tuples(GAPS, inner, GAPS), max_size=3).map(
            lambda items: "[" + ",".join(a + v + b for a, v, b in items) + "]"
        )
        | st.lists(st.tuples(KEYS, inner), max_size=3).map(
            lambda items: "{ " + ", ".join(f"{k} = {v}" for k, v in items) + " }"
        )
    ),
    max_leaves=6,
)
LINES = (
    st.tuples(KEYS, VALUES).map(lambda kv: f"{kv[0]} = {kv[1]}")
    | KEYS.map(lambda key: f"[{key}]")
    | KEYS.map(lambda key: f" [[ {key} ]] # remark")
    | st.sampled_from(["", "# remark [x]", "   "])
)


def numbered(lines, newline):
    """Give each N of a value a number of its own, by which its line is found again."""
    numbers = count(1000001)
    text = "\n".join(lines)
    while "N" in text:
        text = text.replace("N", str(next(numbers)), 1)
    return text.replace("\n", newline)


def leaves(value, path=()):
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, (*path, key))
    elif isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield from leaves(item, (*path, number))
    elif type(value) is int and value > 1000000:
        yield path, value


@settings(max_examples=400, deadline=None)
@given(st.lists(LINES, min_size=1, max_size=8), st.sampled_from(["\n", "\r\n"]))
def test_lines_agree_with_what_tomllib_reads(lines, newline):
    text = numbered(lines, newline)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assume(False)
    layout = Layout(text)
    for path, number in leaves(data):
        assert layout.line(path) == text[: text.index(str(number))].count("\n") + 1, path
