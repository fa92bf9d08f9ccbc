"""What is wrong, where, and the way out."""

from typing import NamedTuple


class Problem(NamedTuple):
    """One thing that is wrong in a notebook: a value to be collected, never raised alone."""

    path: str
    """File, relative to the notebook, with `/` between its parts; empty where there is none."""
    line: int | None
    what: str
    remedy: str

    @property
    def where(self) -> str:
        """The place as `FOLDER/FILE.toml:LINE`, the line left out where there is none."""
        return f"{self.path}:{self.line}" if self.line else self.path

    def __str__(self) -> str:
        return f"{self.where}: {self.what}\n    {self.remedy}"


class FieldbookError(Exception):
    """Something the person can put right; its message says what, where and how."""

    exit_code = 1

    def __init__(self, message: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(message)
        self.problems = problems


class WrongUse(FieldbookError):
    """A command was given words it does not take."""

    exit_code = 2


class Unreadable(FieldbookError):
    """A text that cannot be read as what its field asks for."""

    def __init__(self, what: str, remedy: str) -> None:
        super().__init__(f"{what}\n    {remedy}")
        self.what = what
        self.remedy = remedy


class OutOfRange(FieldbookError):
    """A formula was asked for something outside the range its source covers."""


class NotPossible(FieldbookError):
    """Inputs that contradict each other, such as a soaked brick lighter than the dry one."""
