"""Dry mass of a brick that cannot be dried in an oven itself: three routes, in their order.

First an oven-dried piece of the same clay, then the brick weighed after firing, then the plateau
of its drying curve. An air-dry brick still holds water, so a plateau is not dryness.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.quantities import in_units

AIR_DRY_WATER = (1.0, 5.0)
"""[%] Dry basis: what a brick still holds when the air dries it no further. From memory."""

PLATEAU_HOURS = 24.0
"""[h] Weighings this far apart show a plateau. Common practice: constant mass 24 h apart."""

PLATEAU_STEP = 0.2
"""[%] A brick that loses less than this of its mass meanwhile is on its plateau; ASTM C67 takes
the same figure, over 2 h, for constant mass in the oven (from memory)."""


class DryMass(NamedTuple):
    """A dry mass, the route it came by, and the words for it."""

    value: Value
    """[kg]"""
    route: str
    """"oven piece", "fired" or "plateau"."""
    method: str


class Contradiction(NamedTuple):
    """A weighing that cannot be right beside a dry mass."""

    weighing: int
    """Which weighing, in the order given."""
    what: str


@in_units(brick_mass="kg", piece_wet="g", piece_dry="g", returns="kg")
def dry_mass_by_piece(brick_mass: Value, piece_wet: Value, piece_dry: Value) -> Value:
    """Dry mass of a brick from an oven-dried piece of the same clay, taken at the same time.

    Formula:
        m_d = m_brick x piece dry / piece wet
    Args:
        brick_mass: [kg] of the brick when the piece was taken.
        piece_wet: [g] of the piece, as taken.
        piece_dry: [g] of the piece, after 105 to 110 degC to constant mass.
    Returns:
        [kg]
    Raises:
        NotPossible: the piece gained mass in the oven.
    Source:
        Definition of moisture on the dry mass; ASTM D2216 for the oven.
    Example:
        >>> print(f"{dry_mass_by_piece.plain(3.25, 936.0, 745.0):.3f}")
        2.587
    """
    refuse_if(not_positive(brick_mass, piece_dry), "a mass must be greater than zero")
    refuse_if(less(piece_wet, piece_dry), "the piece weighs more dry than wet")
    return brick_mass * piece_dry / piece_wet


@in_units(fired_mass="kg", ignition_loss="%", returns="kg")
def dry_mass_from_fired(fired_mass: Value, ignition_loss: Value) -> Value:
    """Dry mass of a brick from its mass after firing.

    Formula:
        m_d = m_fired / (1 - LOI)
    Args:
        fired_mass: [kg] of the same brick, fired and dry.
        ignition_loss: [%] of the dry mass.
    Returns:
        [kg]
    Raises:
        OutOfRange: an ignition loss outside 0 to 100 %.
    Source:
        Definition of loss on ignition.
    Example:
        >>> print(f"{dry_mass_from_fired.plain(2.944, 8.0):.2f}")
        3.20
    """
    refuse_if(not_positive(fired_mass), "a mass must be greater than zero")
    refuse_outside(
        (nominal(ignition_loss) < 0) | (nominal(ignition_loss) >= 100), "ignition loss: 0 to 100 %"
    )
    return fired_mass / (1 - ignition_loss / 100)


@in_units(plateau_mass="kg", water_held="%", returns="kg")
def dry_mass_from_plateau(plateau_mass: Value, water_held: Value) -> Value:
    """Dry mass of a brick from the mass at which the air dries it no further.

    Formula:
        m_d = m_plateau / (1 + X_e)
    Args:
        plateau_mass: [kg]
        water_held: [%] dry basis, held in this air; 1 to 5 from memory, learnt where a piece
            was dried in an oven.
    Returns:
        [kg]
    Raises:
        OutOfRange: a negative moisture.
    Source:
        Definition of moisture on the dry mass.
    Example:
        >>> print(f"{dry_mass_from_plateau.plain(2.65, 2.0):.3f}")
        2.598
    """
    refuse_if(not_positive(plateau_mass), "a mass must be greater than zero")
    refuse_outside(negative(water_held), "moisture must not be negative")
    return plateau_mass / (1 + water_held / 100)


def air_dry_water() -> Value:
    """What an air-dry brick still holds, in per cent of its dry mass, where nothing is known.

    Formula:
        3 +- 2 %, rectangular
    Source:
        From memory: 1 to 5 %.
    Example:
        >>> print(f"{air_dry_water():.1f}")
        3.0+/-1.2
    """
    from fieldbook.calc.uncertainty import rectangular

    low, high = AIR_DRY_WATER
    return rectangular((low + high) / 2, (high - low) / 2, "water held air-dry, from memory")


def plateau(hours: Sequence[float], masses: Sequence[Value]) -> Value | None:
    """Mass on the plateau of a drying curve, or None where the brick is still losing.

    Formula:
        the last mass, where those of the last 24 h and the one before differ from it by less
        than 0.2 %
    Source:
        Common practice: constant mass 24 h apart; step as in ASTM C67, from memory.
    Example:
        >>> plateau([0, 24, 48, 72], [3.25, 2.80, 2.652, 2.650]), plateau([0, 24], [3.25, 2.80])
        (2.65, None)
    """
    if len(hours) < 2 or hours[-1] - hours[0] < PLATEAU_HOURS:
        return None
    last = masses[-1]
    since = max(i for i, hour in enumerate(hours) if hours[-1] - hour >= PLATEAU_HOURS)
    changes = [abs(nominal(mass) / nominal(last) - 1) for mass in masses[since:]]
    return last if 100 * max(changes) < PLATEAU_STEP else None


def find_dry_mass(
    by_piece: Value | None = None,
    from_fired: Value | None = None,
    from_plateau: Value | None = None,
) -> DryMass | None:
    """The first of the routes that has an answer, by name.

    Formula:
        oven piece, else fired mass / (1 - LOI), else plateau / (1 + X_e)
    Source:
        Common practice: the nearer to a dry brick, the earlier in the order.
    Example:
        >>> find_dry_mass(None, 2.61, 2.60).route
        'fired'
    """
    routes: Mapping[str, tuple[Value | None, str]] = {
        "oven piece": (by_piece, "mass when the oven piece was taken x piece dry / piece wet"),
        "fired": (from_fired, "mass after firing / (1 - ignition loss)"),
        "plateau": (from_plateau, "plateau of the drying curve / (1 + water held air-dry)"),
    }
    for route, (value, method) in routes.items():
        if value is not None:
            return DryMass(value, route, method)
    return None


def contradictions(dry_mass: Value, masses: Sequence[Value]) -> list[Contradiction]:
    """Weighings in order of time that cannot be right: below dry, or heavier than before.

    Each is held against its uncertainty; nothing is clipped or smoothed. A brick that was rained
    on does gain, which the caller knows from the log; an air-dry one gains and loses with the
    weather, within what damp air leaves in it.

    Formula:
        m_i < m_d, or m_i > m_(i-1) and m_i > 1.05 m_d, by more than the expanded uncertainty of
        the difference
    Source:
        A drying brick loses water and nothing else; air-dry it holds 1 to 5 %, from memory.
    Example:
        >>> [found.weighing for found in contradictions(2.6, [3.2, 2.9, 3.0, 2.5])]
        [2, 3]
    """
    found = []
    for index, mass in enumerate(masses):
        if _less(mass, dry_mass):
            found.append(Contradiction(index, "weighs less than its own dry mass"))
        elif index and _less(masses[index - 1], mass) and _less(_air_dry(dry_mass), mass):
            found.append(Contradiction(index, "gained mass while drying"))
    return found


def _air_dry(dry_mass: Value) -> Value:
    """The most an air-dry brick weighs, in the dampest air [kg]."""
    return dry_mass * (1 + AIR_DRY_WATER[1] / 100)


def _less(one: Value, other: Value) -> bool:
    """True where one lies below the other by more than is uncertain, or than binary noise."""
    gap = other - one
    return bool(nominal(gap) > max(expanded(gap), 1e-9 * abs(nominal(other))))
