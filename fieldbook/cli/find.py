"""`fieldbook find [KIND] [CONDITION …]`: entries that match, one a line."""

from __future__ import annotations

import argparse
import operator
import re
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.cli.call import Call
from fieldbook.errors import WrongUse

if TYPE_CHECKING:
    from fieldbook.report.makers import Makers

COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    ">=": operator.ge,
    "<=": operator.le,
    ">": operator.gt,
    "<": operator.lt,
}
_CONDITION = re.compile(r"([\w.][\w. ]*?)\s*(>=|<=|=|>|<)\s*(.*)")


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument(
        "words",
        nargs="*",
        metavar="KIND|CONDITION",
        help="a kind; FIELD=TEXT; VALUE>NUMBER in the unit it is shown in; or a word in the file",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the addresses; exit 1 where none matches."""
    from fieldbook.records import FOLDERS, KINDS

    words = list(given.words)
    folder = ""
    if words and (words[0] in KINDS or words[0] in FOLDERS):
        word = words.pop(0)
        folder = KINDS[word].folder if word in KINDS else word
    found = [
        address
        for address in call.store.addresses
        if address.startswith(folder) and all(_matches(call, address, word) for word in words)
    ]
    if call.shared.json:
        call.write_json(found)
    elif found:
        print("\n".join(found))
    return 0 if found else 1


def _matches(call: Call, address: str, word: str) -> bool:
    condition = _CONDITION.fullmatch(word)
    file = call.store.read(address)
    if not condition:
        return word.casefold() in file.text.casefold()
    said, sign, wanted = condition.groups()
    name = said.replace(" ", "_")  # as it is printed, or as it is written
    if (name, sign) == ("maker", "="):
        return _maker(call, address).casefold() == wanted.casefold()
    if sign == "=":
        return wanted in (str(_written(file.data, name)), str(_derived(call, address, name)))
    try:
        limit = float(wanted)
    except ValueError as error:
        raise WrongUse(f"{word!r}: after {sign} comes a number") from error
    value = _derived(call, address, name)
    if not isinstance(value, int | float):
        value = _written(file.data, name)
    return isinstance(value, int | float) and bool(COMPARE[sign](value, limit))


def _maker(call: Call, address: str) -> str:
    """Whose an entry is: as written in it, else who began it, as git's history tells."""
    entry = call.notebook.entry(address)
    return _makers(call).of(entry) if entry is not None else ""


@cache
def _makers(call: Call) -> Makers:
    from fieldbook.report.makers import Makers
    from fieldbook.sync.looked import whose

    return Makers(*whose(call.store.folder, call.store.settings.maker))


def _written(data: dict[str, Any], path: str) -> Any:
    value: Any = data
    for part in path.split("."):
        value = value.get(part) if isinstance(value, dict) else None
    return value if isinstance(value, int | float) else str(value)


def _derived(call: Call, address: str, name: str) -> Any:
    review = call.context.review(address)
    result = review.get(name) if review is not None else None
    return result.value if result is not None else None
