"""Mass from the wet mould to the fired brick: what must be lost, and what cannot be."""

from collections.abc import Mapping
from typing import NamedTuple

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import NotPossible
from fieldbook.quantities import in_units

ATOMIC_MASS = {
    "H": 1.008, "C": 12.011, "O": 15.999, "Mg": 24.305, "Al": 26.982,
    "Si": 28.085, "S": 32.06, "K": 39.098, "Ca": 40.078, "Fe": 55.845,
}  # fmt: skip
"""[g/mol] IUPAC standard atomic weights, abridged (2021)."""

MINERALS: dict[str, tuple[dict[str, int], dict[str, int]]] = {
    "kaolinite": ({"Al": 2, "Si": 2, "O": 9, "H": 4}, {"H": 4, "O": 2}),
    "calcite": ({"Ca": 1, "C": 1, "O": 3}, {"C": 1, "O": 2}),
    "dolomite": ({"Ca": 1, "Mg": 1, "C": 2, "O": 6}, {"C": 2, "O": 4}),
    "muscovite": ({"K": 1, "Al": 3, "Si": 3, "O": 12, "H": 2}, {"H": 2, "O": 1}),
    "goethite": ({"Fe": 2, "O": 4, "H": 2}, {"H": 2, "O": 1}),
    "gypsum": ({"Ca": 1, "S": 1, "O": 6, "H": 4}, {"H": 4, "O": 2}),
}
"""Mineral -> atoms of one formula, and those of them that the fire drives off."""

USUAL_LOSS = (15.0, 42.0)
"""[%] Loss from wet mould to fired brick outside which a weighing is questioned. Common practice:
moisture and ignition loss explain a fifth to two fifths."""

USUAL_MOISTURE = (12.0, 40.0)
"""[%] Dry basis, as moulded: stiff clay to the most that a hand-moulded brick holds
(GATE/BASIN, Drying of bricks: forming water at most about 40 %); lower end common practice."""

USUAL_IGNITION_LOSS = (3.0, 15.0)
"""[%] Of brick clays: upper end Karaman 2006 (J. Sci. Ind. Res. 65, 153), lower from memory."""

POSSIBLE_MOISTURE, POSSIBLE_IGNITION_LOSS = (3.0, 60.0), (0.5, 25.0)
"""[%] Beyond these a weighing is taken to be wrong even where nothing is known of the clay: from
dry-pressed to slop; from a burnt clay to a marl. Common practice, wide on purpose."""

BRICK_TO_BRICK = 2.0
"""[%] Dry basis: how far a brick's moisture as moulded may lie from that measured for its batch.
Common practice."""


class Bounds(NamedTuple):
    """The least and the most a loss can be, in per cent."""

    low: float
    high: float


class LossJudged(NamedTuple):
    """A loss from wet mould to fired brick, held against what the clay allows."""

    loss: float
    """[%] of the wet mass."""
    expected: Bounds
    """[%] What moisture and ignition loss allow."""
    verdict: str
    """"plausible", "questioned" or "not possible"."""
    reason: str


def loss_of_mineral(mineral: str) -> float:
    """Ignition loss of a pure mineral, in per cent of its mass, from its formula.

    Formula:
        100 x mass of what leaves / mass of the formula
    Raises:
        NotPossible: the mineral is not in the table.
    Source:
        IUPAC standard atomic weights, abridged, 2021.
    Example:
        >>> print(f"{loss_of_mineral('kaolinite'):.2f} {loss_of_mineral('calcite'):.2f}")
        13.96 43.97
    """
    if mineral not in MINERALS:
        raise NotPossible(f"{mineral} is not among {', '.join(MINERALS)}")
    whole, leaves = (
        sum(ATOMIC_MASS[atom] * count for atom, count in part.items()) for part in MINERALS[mineral]
    )
    return 100 * leaves / whole


def loss_of_minerals(shares: Mapping[str, Value], organic: Value = 0.0) -> Value:
    """Ignition loss of a clay, in per cent, from its minerals and organic matter.

    Formula:
        LOI = sum(share x LOI of the mineral) + organic
    Raises:
        NotPossible: an unknown mineral, a negative share, or shares that exceed the whole.
    Source:
        Mass balance; formulas of the minerals.
    Example:
        >>> print(f"{loss_of_minerals({'kaolinite': 25, 'muscovite': 20, 'calcite': 3}, 0.5):.1f}")
        6.2
    """
    if any(nominal(share) < 0 for share in (*shares.values(), organic)):
        raise NotPossible("a share must not be negative")
    if nominal(sum(shares.values()) + organic) > 100:
        raise NotPossible("the shares exceed the whole clay")
    return organic + sum(share * loss_of_mineral(name) / 100 for name, share in shares.items())


@in_units(wet_mass="kg", moisture="%", ignition_loss="%", returns="kg")
def expected_fired_mass(wet_mass: Value, moisture: Value, ignition_loss: Value) -> Value:
    """Mass of the fired brick that the wet one becomes.

    Formula:
        m_fired = m_wet (1 - LOI) / (1 + X_0)
    Args:
        wet_mass: [kg] as moulded.
        moisture: [%] dry basis, as moulded.
        ignition_loss: [%] of the dry mass.
    Returns:
        [kg]
    Raises:
        OutOfRange: a negative moisture, or an ignition loss outside 0 to 100 %.
    Source:
        Mass balance.
    Example:
        >>> print(f"{expected_fired_mass.plain(4.0, 25.0, 8.0):.3f}")
        2.944
    """
    refuse_if(not_positive(wet_mass), "the wet mass must be greater than zero")
    refuse_outside(negative(moisture), "moisture must not be negative")
    refuse_outside(
        (nominal(ignition_loss) < 0) | (nominal(ignition_loss) >= 100), "ignition loss: 0 to 100 %"
    )
    return wet_mass * (1 - ignition_loss / 100) / (1 + moisture / 100)


@in_units(moisture="%", ignition_loss="%", returns="%")
def expected_loss(moisture: Value, ignition_loss: Value) -> Value:
    """Loss from wet mould to fired brick, as a part of the wet mass.

    Formula:
        100 [1 - (1 - LOI) / (1 + X_0)]
    Args:
        moisture: [%] dry basis, as moulded.
        ignition_loss: [%] of the dry mass.
    Returns:
        [%] of the wet mass.
    Raises:
        OutOfRange: a negative moisture, or an ignition loss outside 0 to 100 %.
    Source:
        Mass balance.
    Example:
        >>> print(f"{expected_loss.plain(30.0, 8.0):.1f}")
        29.2
    """
    return 100 * (1 - expected_fired_mass.plain(1.0, moisture, ignition_loss))


@in_units(wet_mass="kg", fired_mass="kg", returns="%")
def total_loss(wet_mass: Value, fired_mass: Value) -> Value:
    """Loss found from wet mould to fired brick, as a part of the wet mass.

    Formula:
        100 (m_wet - m_fired) / m_wet
    Args:
        wet_mass: [kg] as moulded.
        fired_mass: [kg] of the same brick, fired.
    Returns:
        [%] of the wet mass.
    Raises:
        NotPossible: the brick gained mass.
    Source:
        Definition.
    Example:
        >>> print(f"{total_loss.plain(4.2, 1.4):.1f}")
        66.7
    """
    refuse_if(not_positive(wet_mass, fired_mass), "a mass must be greater than zero")
    refuse_if(
        less(wet_mass, fired_mass),
        "a brick does not gain mass from the mould to the kiln",
    )
    return 100 * (wet_mass - fired_mass) / wet_mass


def loss_bounds(
    moisture: Value | None = None,
    ignition_loss: Value | None = None,
    *,
    burn_out: float = 0.0,
    carbonate: tuple[float, float] = (0.0, 0.0),
) -> Bounds:
    """The least and the most that a brick of this clay should lose, in per cent of its wet mass.

    What is known counts with its uncertainty, moisture with its scatter from brick to brick; what
    is not known runs over what is usual. Burn-out material and carbonate, in per cent of the dry
    mass, widen it where no ignition loss was measured.

    Formula:
        100 [1 - (1 - LOI) / (1 + X_0)] at the ends of X_0 +- 2 % and LOI
    Raises:
        NotPossible: a negative share.
    Source:
        Mass balance; usual ranges as stated beside them.
    Example:
        >>> "%.1f %.1f" % loss_bounds(25.0, 8.0)
        '25.2 27.6'
    """
    if burn_out < 0 or min(carbonate) < 0:
        raise NotPossible("a share must not be negative")
    more = 0.0 if ignition_loss is not None else _driven_off(burn_out, carbonate)
    water = _range_of(moisture, USUAL_MOISTURE, BRICK_TO_BRICK)
    loss = _range_of(ignition_loss, USUAL_IGNITION_LOSS, 0.0)
    return _bounds(water, Bounds(loss.low, loss.high + more))


def judge_loss(
    wet_mass: Value,
    fired_mass: Value,
    moisture: Value | None = None,
    ignition_loss: Value | None = None,
    *,
    burn_out: float = 0.0,
    carbonate: tuple[float, float] = (0.0, 0.0),
) -> LossJudged:
    """Hold a found loss against what this clay allows, and against what is usual.

    Formula:
        not possible: outside what moisture and ignition loss allow by more than the uncertainty of
        the loss; questioned: outside 15 to 42 %, widened by burn-out and carbonate
    Raises:
        NotPossible: the brick gained mass.
    Source:
        Mass balance; common practice for what is usual.
    Example:
        >>> judge_loss(4.2, 1.4).verdict
        'not possible'
    """
    found = total_loss.plain(wet_mass, fired_mass)
    loss, doubt = float(nominal(found)), expanded(found) + 1e-6
    expected = loss_bounds(moisture, ignition_loss, burn_out=burn_out, carbonate=carbonate)
    more = _driven_off(burn_out, carbonate)
    usual = Bounds(USUAL_LOSS[0], USUAL_LOSS[1] + more)
    allowed = _bounds(
        _range_of(moisture, POSSIBLE_MOISTURE, BRICK_TO_BRICK),
        _range_of(
            ignition_loss, (POSSIBLE_IGNITION_LOSS[0], POSSIBLE_IGNITION_LOSS[1] + more), 0.0
        ),
    )
    verdict, words = "plausible", "expected are"
    if not usual.low <= loss <= usual.high:
        verdict, words = "questioned", "plausible for this clay are"
    if loss + doubt < allowed.low or loss - doubt > allowed.high:
        verdict, words = "not possible", "plausible for this clay are"
    reason = (
        f"lost {loss:.1f} % of the wet mass; {words} {expected.low:.0f} to {expected.high:.0f} %"
    )
    return LossJudged(loss, expected, verdict, reason)


def _driven_off(burn_out: float, carbonate: tuple[float, float]) -> float:
    """[%] of the dry mass that burn-out and carbonate may lose beside the clay's own loss."""
    return burn_out + loss_of_mineral("calcite") / 100 * max(carbonate)


def _bounds(water: Bounds, loss: Bounds) -> Bounds:
    return Bounds(
        float(expected_loss.plain(water.low, min(95.0, loss.low))),
        float(expected_loss.plain(water.high, min(95.0, loss.high))),
    )


def _range_of(value: Value | None, usual: tuple[float, float], scatter: float) -> Bounds:
    if value is None:
        return Bounds(*usual)
    middle, half = float(nominal(value)), expanded(value) + scatter
    return Bounds(max(0.0, middle - half), middle + half)
