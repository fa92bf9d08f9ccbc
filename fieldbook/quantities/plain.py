"""Amounts without a unit of measure: counts and costs."""

import re

from fieldbook.errors import Unreadable
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.number import read_number, refuse_thousands_mark

MOST = 10**9
"""No brickyard counts further; a longer number is a slip."""


def read_count(text: object) -> Amount:
    """Read a plain whole number, exact as counts are."""
    if isinstance(text, int) and not isinstance(text, bool):
        text = str(text) if abs(text) <= MOST else "a number so large"
    if not isinstance(text, str) or len(text) > 80 or not text.isprintable():
        raise Unreadable("a whole number is wanted here", "Write the count, for example 180.")
    body = text.strip()
    refuse_thousands_mark(body)
    if not re.fullmatch("[0-9]{1,10}", body) or int(body) > MOST:
        raise Unreadable(
            f'"{body}" is not a plain whole number', "Write the count alone, for example 180."
        )
    return Amount(float(body), 0.0, "count", text, "", "digit")


def read_cost(text: str) -> Amount:
    """Read a number and a currency code; money is exact, rough where it says so."""
    rough = text.startswith(("~", "≈"))
    body = text.lstrip("~≈ ")
    refuse_thousands_mark(body)
    match = re.fullmatch(r"([+-]?[0-9]+(?:[.,][0-9]{1,4})?) ?([A-Za-z]{3})", body)
    if match is None:
        sign = next((code for mark, code in _SIGNS.items() if mark in body), "EUR")
        found = re.search(r"[0-9]+(?:[.,][0-9]+)?", body)
        likely = f"{found[0] if found else '12.50'} {sign}"
        raise Unreadable(
            f'"{text}" is not a cost',
            f'Write the number and a currency code, for example "{likely}".',
        )
    value = read_number(match[1]).value
    half = abs(value) / 10 if rough else 0.0
    return Amount(value, half, "cost", text, match[2].upper(), "rough" if rough else "digit")


_SIGNS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "₹": "INR"}
