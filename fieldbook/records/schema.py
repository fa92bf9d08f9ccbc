"""What a field may hold: the dataclasses of this room are the schema of the notebook.

Each field of a record carries a `Spec`. The store reads files by it, `set` reads typed values by
it, the editor shows its help, and the page on the format lists it: a new field is one line.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple


class Spec(NamedTuple):
    """What one field holds and how it is read."""

    holds: str
    """amount, amounts, words, text, texts, flag, flag_or_texts, count, moment, name, table, rows,
    items, any"""
    help: str
    dimensions: tuple[str, ...] = ()
    """Of an amount: the dimensions it may have, the usual one first."""
    words: tuple[str, ...] = ()
    """Of a choice of words: the words."""
    of: type | None = None
    """Of a table, of rows and of items: the record each holds."""
    refers: str = ""
    """Of a name: the folder of the entry it names."""
    required: bool = False
    shape: str = ""
    """Of text that is more than text: `timezone`, `standard`, `material`."""


def _field(spec: Spec, default: Any = None) -> Any:
    if spec.holds in ("rows", "items"):
        factory: Any = dict if spec.holds == "rows" else tuple
        return dataclasses.field(default_factory=factory, metadata={"spec": spec})
    return dataclasses.field(default=default, metadata={"spec": spec})


def amount(dimension: str, help: str, *others: str, required: bool = False) -> Any:
    """A quantity of `dimension`, or of one of `others`; an `Amount` or None."""
    return _field(Spec("amount", help, (dimension, *others), required=required))


def amounts(dimension: str, help: str, *others: str) -> Any:
    """One quantity or a list of them: a tuple of `Amount`."""
    return _field(Spec("amounts", help, (dimension, *others)), ())


def length(help: str) -> Any:
    """A length [m]."""
    return amount("length", help)


def mass(help: str) -> Any:
    """A mass [kg]."""
    return amount("mass", help)


def percent(help: str) -> Any:
    """A share [%]."""
    return amount("percent", help)


def temperature(help: str) -> Any:
    """A temperature [degC]."""
    return amount("temperature", help)


def time_span(help: str) -> Any:
    """A span of time [h]."""
    return amount("time", help)


def words(help: str, *choices: str) -> Any:
    """One of a few words."""
    return _field(Spec("words", help, words=choices))


def text(help: str, shape: str = "", required: bool = False) -> Any:
    """Free text."""
    return _field(Spec("text", help, shape=shape, required=required))


def texts(help: str) -> Any:
    """A list of texts: a tuple of str."""
    return _field(Spec("texts", help), ())


def flag(help: str) -> Any:
    """True or false."""
    return _field(Spec("flag", help))


def count(help: str, required: bool = False) -> Any:
    """A plain whole number, never below zero."""
    return _field(Spec("count", help, required=required))


def moment(help: str, required: bool = False) -> Any:
    """A date or a time: a `Moment` or None."""
    return _field(Spec("moment", help, required=required))


def name(folder: str, help: str, required: bool = False) -> Any:
    """The name of another entry, in `folder`; several folders are separated by a space."""
    return _field(Spec("name", help, refers=folder, required=required))


def table(of: type, help: str) -> Any:
    """A table that holds one record of class `of`, or None."""
    return _field(Spec("table", help, of=of))


def rows(of: type, help: str) -> Any:
    """A table with one record a line, by name: a dict."""
    return _field(Spec("rows", help, of=of))


def items(of: type, help: str, required: bool = False) -> Any:
    """A list of inline tables: a tuple of records."""
    return _field(Spec("items", help, of=of, required=required))


@cache
def specs(record: type) -> Mapping[str, Spec]:
    """The fields of a record that a file may hold, by name, in order."""
    return {
        f.name.rstrip("_"): f.metadata["spec"]
        for f in dataclasses.fields(record)
        if "spec" in f.metadata
    }


def attribute(field: str) -> str:
    """The attribute of a record for a field's name: `for` is a word of Python, so `for_`."""
    return f"{field}_" if field in ("for", "from", "of") else field
