"""The words of one command: only its own parser is built."""

from __future__ import annotations

import argparse
import importlib
from typing import NoReturn

from fieldbook.cli.call import Call
from fieldbook.cli.commands import COMMANDS, module_of
from fieldbook.errors import WrongUse

SHARED_HELP = """everywhere:
  --notebook FOLDER   the notebook, where it is not the folder you stand in
  --now TIME          answer as if it were then
  --json              answer in JSON
  --units SYSTEM      metric, us or as-written
"""


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are ours: one line, exit 2."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and how the command is written."""
        raise WrongUse(f"{message}\n    {self.format_usage().strip()}")


def parser_for(command: str) -> Parser:
    """The parser of one command."""
    module = importlib.import_module(module_of(command))
    parser = Parser(
        prog=f"fieldbook {command}",
        description=COMMANDS[command],
        epilog=SHARED_HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.arguments(parser)
    return parser


def run_command(command: str, module: str, call: Call, given: list[str]) -> int:
    """Parse the words of a command and run it."""
    arguments = parser_for(command).parse_args(given)
    result: int = importlib.import_module(module).run(call, arguments)
    return result


def print_help(about: list[str]) -> int:
    """The help of one command, or the list of all."""
    if about:
        if about[0] not in COMMANDS:
            raise WrongUse(f"there is no command {about[0]!r}")
        parser_for(about[0]).print_help()
        return 0
    print("fieldbook: a field notebook for people who fire bricks from the clay they dig\n")
    print("usage: fieldbook [COMMAND …]      without a command the screen opens\n")
    for command, does in COMMANDS.items():
        print(f"  {command:<11} {does}")
    print(f"\n  fieldbook help COMMAND says more\n\n{SHARED_HELP}")
    return 0
