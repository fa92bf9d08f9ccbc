"""Every command: its module in this room and one line of what it does.

A command's module has `arguments(parser)` and `run(call, given)`; it is imported only when named.
"""

COMMANDS: dict[str, str] = {
    "start": "make a new notebook",
    "add": "make an entry",
    "set": "change fields of an entry in place",
    "rename": "rename an entry, with every reference to it",
    "remove": "remove an entry that nothing refers to",
    "log": "add one observation, or those on standard input",
    "next": "what to do now: when, how much, why",
    "why": "the numbers behind a value or an action",
    "show": "all that is recorded and derived of an entry",
    "check": "read everything and report every problem",
    "plan": "the plan of a firing or a build",
    "compare": "entries side by side, or one entry then and now",
    "history": "every batch and firing of a mix, kiln or clay, in order",
    "find": "entries that match, one a line",
    "news": "what others did since you last looked, and who did better",
    "share": "set up sharing with a group",
    "sync": "bring in and send out the group's changes",
    "import": "readings from a CSV file",
    "export": "a page to print, a table for a spreadsheet, JSON lines",
    "completion": "the completion script of a shell",
}


def module_of(command: str) -> str:
    """The module of a command: `import` is a word of Python, so its file is `import_`."""
    return f"fieldbook.cli.{command}_" if command == "import" else f"fieldbook.cli.{command}"
