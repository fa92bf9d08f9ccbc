"""What is known of the drying of a batch before its first weighing."""

from collections.abc import Sequence
from dataclasses import fields

import numpy as np

from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen


@frozen
class Prior:
    """What is known before the first weighing: middle and standard deviation of each parameter.

    All from memory or common practice, and all the maker's own earlier batches can replace.
    """

    log_rate: float = float(np.log(0.0025))
    """Of the constant rate, in 1/h: hand-moulded brick dries in days to weeks."""
    log_rate_sd: float = 0.7
    spread: float = 0.20
    """Of the log rate from brick to brick of one batch."""
    critical: float = 0.14
    """0.12 to 0.15 from memory; the upper half, for a forecast that runs late does less harm."""
    log_span_sd: float = 0.75
    """Of the logarithm of critical less equilibrium moisture; a wide guess."""
    equilibrium: float = 0.020
    """0.01 to 0.03 from memory."""
    equilibrium_sd: float = 0.005
    film: float = 9.0
    """[W/(m**2*K)] In a yard, 5 to 15 from memory; used where area and weather are known."""
    log_film_sd: float = 0.5
    law_sd: float = 0.22
    """Of the logarithm of the time still to come: what the law and the weather leave open.
    Found by trial on bricks dried by diffusion (tests/bench/drying_coverage.py)."""
    shape: float = 0.15
    """What the law is off by, as a part of the moisture lost since. Found in the same trials."""


def pooled(priors: Sequence[Prior]) -> Prior:
    """What several earlier batches teach together: their middle, as wide as they differ."""
    if not priors:
        raise NotPossible("no earlier batch: nothing to learn from")
    middles = {
        one.name: float(np.mean([getattr(prior, one.name) for prior in priors]))
        for one in fields(Prior)
    }
    films = np.log([prior.film for prior in priors])
    rates = np.array([prior.log_rate for prior in priors])
    middles["film"] = float(np.exp(films.mean()))
    middles["log_film_sd"] = max(middles["log_film_sd"], float(films.std()))
    middles["log_rate_sd"] = max(middles["log_rate_sd"], float(rates.std()))
    return Prior(**middles)
