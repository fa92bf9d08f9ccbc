"""From the words typed to one command: nothing is imported that the command does not need."""

from __future__ import annotations

import os
import sys

from fieldbook import __version__
from fieldbook.cli.commands import COMMANDS, module_of
from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.text import clean_text


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status: 0 done, 1 it cannot be, 2 wrong use."""
    words = sys.argv[1:] if argv is None else argv
    try:
        return _run(words)
    except FieldbookError as error:
        return _say(error)
    except BrokenPipeError:
        # The reader of our output went away, which is its right: head(1) does so.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        return 130
    except Exception as bug:  # noqa: BLE001 - a bug is said in one line and its trace kept
        from fieldbook.tui.faults import keep_trace

        print(f"fieldbook: {clean_text(keep_trace(bug))}", file=sys.stderr)
        return 1


def _run(words: list[str]) -> int:
    if "_ARGCOMPLETE" in os.environ:
        from fieldbook.cli.completion import complete

        complete()
    if "--version" in words[:2]:
        print(f"fieldbook {__version__}")
        return 0
    from fieldbook.cli.call import Call, split

    shared, rest = split(words)
    call = Call(shared)
    if not rest:
        from fieldbook.cli.screen import open_screen

        return open_screen(call)
    command, given = rest[0], rest[1:]
    if command in ("--help", "-h", "help"):
        from fieldbook.cli.parsing import print_help

        return print_help(given)
    if command not in COMMANDS:
        raise WrongUse(_unknown(command))
    if command == "log" and not {"--help", "-h"} & set(given):
        from fieldbook.cli import log

        return log.run(call, given)
    from fieldbook.cli.parsing import run_command

    try:
        return run_command(command, module_of(command), call, given)
    finally:
        call.close()


def _unknown(command: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(command, COMMANDS, 1)
    hint = f"did you mean {near[0]!r}? " if near else ""
    return f"there is no command {command!r}; {hint}`fieldbook help` lists them"


def _say(error: FieldbookError) -> int:
    print(f"fieldbook: {clean_text(str(error))}", file=sys.stderr)
    return error.exit_code
