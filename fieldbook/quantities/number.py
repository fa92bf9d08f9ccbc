"""The numbers people write: decimals with a point or a comma, fractions, mixed fractions."""

import re
from typing import NamedTuple

from fieldbook.errors import Unreadable

MOST_DIGITS = 15


class Number(NamedTuple):
    """A number and the worth of the last digit, or of the fraction's part, it was written to."""

    value: float
    step: float

    @property
    def is_whole(self) -> bool:
        """True where it was written without a decimal mark or a fraction."""
        return self.step == 1.0


NUMBER = r"[+-]?(?:[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_GROUPED = re.compile(
    r"(?<![0-9.,/'’_])(?<![0-9] )([1-9][0-9]{0,2})([ ,.'’_])([0-9]{3}(?:\2[0-9]{3})*)"
    r"([.,][0-9]+)?(?![0-9/]| [0-9]+/)"
)


def refuse_thousands_mark(text: str) -> None:
    """Refuse a number with a mark between its thousands, and say what it most likely means."""
    marks = [match for match in _GROUPED.finditer(text) if not _is_decimal(match)]
    if not marks:
        return
    likely = f'most likely "{_GROUPED.sub(_without_marks, text)}"'
    if all("," in match[2] and "," not in match[3] and not match[4] for match in marks):
        likely += f', or else "{_GROUPED.sub(lambda match: f"{match[1]}.{match[3]}", text)}"'
    raise Unreadable(
        f'"{text}" has a mark between its thousands', f"Write it without the mark: {likely}."
    )


def _is_decimal(match: re.Match[str]) -> bool:
    """True for 1.250, which is no more than a decimal point."""
    return match[2] == "." and "." not in match[3] and not match[4]


def _without_marks(match: re.Match[str]) -> str:
    if _is_decimal(match):
        return match[0]
    return match[1] + match[3].replace(match[2], "") + (match[4] or "").replace(",", ".")


def read_number(text: str) -> Number:
    """Read what `NUMBER` matched."""
    if len(re.sub(r"[^0-9]", "", text)) > MOST_DIGITS:
        raise Unreadable(
            f"a number has more than {MOST_DIGITS} digits", "Write the digits that were read."
        )
    sign = -1.0 if text.startswith("-") else 1.0
    body = text.lstrip("+-")
    if "/" not in body:
        decimals = re.split("[.,]", body)
        places = len(decimals[1]) if len(decimals) > 1 else 0
        return Number(sign * float(body.replace(",", ".")), float(f"1e-{places}"))
    whole, _, fraction = body.rpartition(" ")
    upper, lower = (int(part) for part in fraction.split("/"))
    if lower == 0:
        raise Unreadable(f'"{text}" divides by zero', "Write the fraction that was read.")
    if whole and upper >= lower:
        raise Unreadable(
            f'"{text}" has a fraction of one or more after a whole number',
            "Write the whole number and what is over, for example 9 1/2.",
        )
    return Number(sign * (int(whole or 0) + upper / lower), 1 / lower)
