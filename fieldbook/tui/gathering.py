"""What a proposal leaves blank, asked one blank at a time; the file is written once all is known.

Lists and tables of fields come as TOML in a proposal. Nobody is asked to write any: each blank in
them is a question of its own, and the rows are put together here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from fieldbook.tui.blanks import BLANK

if TYPE_CHECKING:
    from fieldbook.records import Spec
    from fieldbook.store.values import Setting

Fields = tuple[tuple[str, str], ...]
"""Paths of fields, each with what is written or proposed for it; blanks as `…`."""
_BARE_BLANK = re.compile(r'("[^"]*")|…')
_ROWS = {
    "parts": '[{ clay = "…", volume = "…" }]',
    "load": '[{ batch = "…", count = "…", place = "…" }]',
    "fuel": '[{ name = "…", moisture = "… %" }]',
}
"""Of a list for which nothing is proposed: what is asked of its first row."""
_TEMPER = '[{ temper = "…", volume = "…" }]'
_NEEDED = frozenset(("clay", "temper", "volume", "mass", "batch", "refired", "count", "name"))
"""What a row is nothing without: left blank in the first of a list that must be, it is asked for
again; in another row, the row is left out."""
_NEEDED_OF = {"build": ("form",)}
"""Fields without which an entry can be read and nothing follows from it."""


class Ask(NamedTuple):
    """One blank."""

    path: str
    text: str
    """What is proposed, with its blank."""
    said: str
    """What is asked, in a few words, for the line."""
    is_needed: bool = False
    row: str = ""
    """The row that is left out with it."""


class Gathered(NamedTuple):
    """What is known, and what is still to be asked."""

    known: Fields = ()
    asks: tuple[Ask, ...] = ()
    left_out: tuple[str, ...] = ()
    """What a blank left empty has taken with it, in words."""
    added: tuple[tuple[str, int], ...] = ()
    """Lists that are added to, each with how many rows it has already."""


def gather(
    record: type, fields: Fields, kind: str = "", have: Mapping[str, Any] | None = None
) -> Gathered:
    """Take a proposal apart into what it says and what it asks.

    `kind` is that of an entry to be made, which is asked for all that must be; `have` is what is
    written of one that is there.
    """
    from fieldbook.records import specs

    proposal = _Proposal(record, kind, have or {})
    required = [name for name, spec in specs(record).items() if spec.required] if kind else []
    there = {name.partition(".")[0] for name, _ in fields}
    for name, text in (*fields, *((name, BLANK) for name in required if name not in there)):
        proposal.take_apart(name, text, is_needed=name in (*required, *_NEEDED_OF.get(kind, ())))
    asks = sorted(proposal.asks, key=lambda ask: ask.path.partition(".")[0] not in required)
    if not kind and len(asks) == 1:
        asks = [asks[0]._replace(is_needed=True, row="")]
    return Gathered(tuple(proposal.known), tuple(asks), added=tuple(proposal.added))


def is_structured(record: type, fields: Fields) -> bool:
    """Whether a field among these holds others."""
    return any(name.endswith("+") or _spec_of(record, name).of is not None for name, _ in fields)


def answered(found: Gathered, text: str) -> Gathered:
    """Take in the answer to the first blank; an empty one may leave its row out."""
    ask, *rest = found.asks
    if text.strip():
        return found._replace(known=(*found.known, (ask.path, text)), asks=tuple(rest))
    if not ask.row:
        return found._replace(asks=tuple(rest))
    row = f"{ask.row}."
    return found._replace(
        known=tuple(pair for pair in found.known if not pair[0].startswith(row)),
        asks=tuple(each for each in rest if not each.path.startswith(row)),
        left_out=(*found.left_out, ask.said),
    )


def put_together(record: type, gathered: Gathered, setting: Setting) -> dict[str, object]:
    """Give what is to be written: rows of a list as they are to stand in the file.

    Raises:
        FieldbookError: a field cannot hold what was typed.
    """
    from fieldbook.store.typed import change_of

    found: dict[str, object] = {}
    lists: dict[str, dict[int, list[Any]]] = {}
    for path, text in gathered.known:
        change = change_of(record, path, text, setting)
        if len(change.path) > 2 and isinstance(change.path[1], int):
            rows = lists.setdefault(str(change.path[0]), {})
            rows.setdefault(change.path[1], []).append(change._replace(path=change.path[2:]))
        else:
            found[path] = text
    for name, rows in lists.items():
        found |= _as_list(name, rows, dict(gathered.added))
    return found


def _as_list(
    name: str, rows: Mapping[int, list[Any]], added: Mapping[str, int]
) -> dict[str, object]:
    from fieldbook.store.change import meant

    made = [meant({}, changes) for _, changes in sorted(rows.items())]
    if name not in added:
        return {name: made}
    return {f"{name}.{number}": row for number, row in enumerate(made, added[name] + 1)}


class _Proposal:
    """What a proposal says and asks, field by field."""

    def __init__(self, record: type, kind: str, have: Mapping[str, Any]) -> None:
        self.record, self.is_new, self.have = record, bool(kind), have
        self.known: list[tuple[str, str]] = []
        self.asks: list[Ask] = []
        self.added: list[tuple[str, int]] = []

    def take_apart(self, name: str, text: str, *, is_needed: bool) -> None:
        """One field, with all that it holds."""
        leaves = list(self._leaves(name, text))
        if name == "parts" and self.is_new:
            leaves += _temper_after(leaves)
        begun: set[str] = set()
        for path, proposed in leaves:
            if BLANK in proposed:
                self.asks.append(self._ask(path, proposed, leaves, begun, is_needed=is_needed))
            elif proposed:
                self.known.append((path, proposed))

    def _leaves(self, name: str, text: str) -> Iterator[tuple[str, str]]:
        """Each single value of a field, by its path."""
        bare = name.rstrip("+")
        spec = _spec_of(self.record, name)
        value = _read(_ROWS.get(bare, text) if text.strip() == BLANK else text)
        if spec.of is None or value is None:
            yield bare, text
        elif spec.holds != "items":
            yield from _flat(bare, value)
        else:
            before = len(self.have.get(bare, ())) if name.endswith("+") else 0
            if before:
                self.added.append((bare, before))
            rows = value if isinstance(value, list) else [value]
            for number, row in enumerate((r for r in rows if isinstance(r, dict)), before + 1):
                yield from _flat(f"{bare}.{number}", row)

    def _ask(
        self,
        path: str,
        proposed: str,
        leaves: Sequence[tuple[str, str]],
        begun: set[str],
        *,
        is_needed: bool,
    ) -> Ask:
        """The question for one blank; `begun` holds the rows asked for already."""
        from fieldbook.report.values import spell

        top, _, rest = path.partition(".")
        number, _, leaf = rest.partition(".")
        if not leaf or _spec_of(self.record, top).holds != "items":
            return Ask(path, proposed, spell(path.replace(".", " ")), is_needed)
        row = f"{top}.{number}"
        is_first, is_begun = is_needed and number == "1", row in begun
        begun.add(row)
        must = leaf in _NEEDED
        said = _said(top, row, leaf, leaves, is_begun=is_begun)
        goes = row if must and not is_first and not is_begun else ""
        return Ask(path, proposed, said, must and (is_first or is_begun), goes)


def _said(
    top: str, row: str, leaf: str, leaves: Sequence[tuple[str, str]], *, is_begun: bool
) -> str:
    """What a blank in a row asks, in a few words."""
    from fieldbook.report.values import spell

    if is_begun:
        return f"its {spell(leaf)}"
    if leaf == "temper":
        return "temper (sand, grog)"
    of_it = [
        f"{spell(path.rpartition('.')[2])} {text}"
        for path, text in leaves
        if path.startswith(f"{row}.") and BLANK not in text
    ]
    return f"{top}: " + ", ".join([*of_it, spell(leaf)])


def _spec_of(record: type, name: str) -> Spec:
    from fieldbook.store.typed import find_field

    return find_field(record, name.rstrip("+"))[1]


def _read(text: str) -> Any:
    """A value as TOML, a blank that stands without quotes in it as well; None where it is none."""
    quoted = _BARE_BLANK.sub(lambda match: match[1] or f'"{BLANK}"', text)
    try:
        return tomllib.loads(f"value = {quoted}")["value"]
    except (ValueError, RecursionError):
        return None


def _flat(path: str, value: Any) -> Iterator[tuple[str, str]]:
    from fieldbook.store.places import dotted

    if isinstance(value, dict):
        for key, part in value.items():
            yield from _flat(f"{path}.{dotted((key,))}", part)
    elif isinstance(value, list):
        yield path, ", ".join(str(part) for part in value)
    elif isinstance(value, bool):
        yield path, "yes" if value else "no"
    else:
        yield path, str(value)


def _temper_after(leaves: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """A mix in which no temper is proposed is asked for one, in the measure of its clay."""
    if any(path.endswith(".temper") for path, _ in leaves):
        return
    last = max((int(path.split(".")[1]) for path, _ in leaves), default=0)
    measure = "mass" if any(path.endswith(".mass") for path, _ in leaves) else "volume"
    yield f"parts.{last + 1}.temper", BLANK
    yield f"parts.{last + 1}.{measure}", BLANK
