"""An amount as a maker wrote it, with the value and half-width that its text gives."""

from dataclasses import replace

from fieldbook.frozen import frozen


@frozen
class Amount:
    """One written amount; value and half-width are in the canonical unit of its dimension."""

    value: float
    half: float
    """Half-width that the text alone gives; kelvins for a temperature."""
    dimension: str
    text: str
    """As the maker wrote it."""
    unit: str
    """The unit as understood, such as `degF`, `lb` or the name of a local measure."""
    how: str
    """Where the half-width comes from: digit, range, rough or stated; or above, below: a bound."""
    where: str = ""
    """`FOLDER/FILE.toml:LINE`, filled in by whoever read the file."""

    @property
    def is_bound(self) -> bool:
        """True where the truth lies beyond the number: never to be used as a value."""
        return self.how in ("above", "below")

    def at(self, where: str) -> "Amount":
        """Give the same amount with the place it stands at."""
        return replace(self, where=where)
