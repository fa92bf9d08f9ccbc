"""`fieldbook log --undo`: takes back what this person saved last."""

from __future__ import annotations

from fieldbook.cli.call import Call
from fieldbook.cli.log import notebook_of
from fieldbook.errors import WrongUse
from fieldbook.store.names import file_of, resolve
from fieldbook.store.taking_back import take_back_last
from fieldbook.text import clean


def take_back(call: Call, words: list[str]) -> int:
    """Take back the observation saved last, in the notebook or on the entry named."""
    if len(words) > 1:
        raise WrongUse("write fieldbook log --undo, or fieldbook log ENTRY --undo")
    notebook = notebook_of(call)
    taken = take_back_last(notebook, resolve(notebook, words[0]) if words else "")
    if call.shared.json:
        call.write_json({"entry": taken.address, "taken_back": taken.words})
    else:
        print(f"taken back: {clean(taken.words)}  [{file_of(taken.address)}]")
    return 0
