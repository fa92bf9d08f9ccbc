"""`fieldbook completion SHELL`: the script that lets a shell complete commands and entries."""

from __future__ import annotations

import argparse
from typing import Any

from fieldbook.cli.call import UNITS, Call, Shared
from fieldbook.cli.commands import COMMANDS
from fieldbook.errors import FieldbookError

SHELLS = ("bash", "zsh", "fish")
TAKES_ENTRIES = {"entry", "entries", "what"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("shell", choices=SHELLS, help="which shell")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the script; it goes into the shell's start file."""
    from argcomplete.shell_integration import shellcode

    print(shellcode(["fieldbook"], shell=given.shell))
    return 0


def complete() -> None:
    """Answer a shell that asks what may come next; the shell's call ends here."""
    import argcomplete

    argcomplete.autocomplete(whole_parser())


def whole_parser() -> argparse.ArgumentParser:
    """Every command with its words: built for completion and documents only."""
    from fieldbook.cli.parsing import parser_for

    parser = argparse.ArgumentParser(prog="fieldbook", allow_abbrev=False)
    _shared(parser)
    commands = parser.add_subparsers(dest="command")
    for command, does in COMMANDS.items():
        own = parser_for(command)
        own.add_help = False
        sub = commands.add_parser(command, help=does, parents=[own], conflict_handler="resolve")
        _shared(sub)
        for action in sub._actions:
            if action.dest in TAKES_ENTRIES:
                action.completer = entry_names  # type: ignore[attr-defined]
    return parser


def _shared(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--notebook", metavar="FOLDER")
    parser.add_argument("--now", metavar="TIME")
    parser.add_argument("--units", choices=UNITS)
    parser.add_argument("--json", action="store_true")


def entry_names(prefix: str, parsed_args: argparse.Namespace, **_: Any) -> list[str]:
    """The entries of the notebook, by address and by name."""
    try:
        addresses = Call(Shared(notebook=parsed_args.notebook)).store.addresses
    except FieldbookError:
        return []
    if "/" in prefix:
        return list(addresses)
    return [address.partition("/")[2] for address in addresses] + list(addresses)
