"""The limits of Atterberg: over what moistures a clay can be worked."""

from fieldbook.calc.refusal import Value, less, not_positive, refuse_if
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units
from fieldbook.tables import load


@in_units(liquid_limit="%", plastic_limit="%", returns="%")
def plasticity_index(liquid_limit: Value, plastic_limit: Value) -> Value:
    """Span of moisture over which the clay can be worked.

    Formula:
        PI = LL - PL
    Args:
        liquid_limit: [%] moisture, dry basis, at which it begins to flow.
        plastic_limit: [%] moisture, dry basis, at which a 3.2 mm thread crumbles.
    Returns:
        [%]
    Raises:
        NotPossible: the liquid limit lies below the plastic one.
    Source:
        NPTEL, Geotechnical engineering, module 3, worked example.
    Example:
        >>> plasticity_index.plain(48.0, 26.0)
        22.0
    """
    refuse_if(
        less(liquid_limit, plastic_limit),
        "the liquid limit lies below the plastic one",
    )
    return liquid_limit - plastic_limit


@in_units(moisture="%", liquid_limit="%", plastic_limit="%", returns="1")
def liquidity_index(moisture: Value, liquid_limit: Value, plastic_limit: Value) -> Value:
    """How far the clay is from stiff (0) to flowing (1).

    Formula:
        LI = (w - PL) / (LL - PL)
    Args:
        moisture: [%] dry basis, as it lies.
        liquid_limit: [%] moisture, dry basis.
        plastic_limit: [%] moisture, dry basis.
    Returns:
        [1] below 0 stiffer than plastic, above 1 liquid.
    Raises:
        NotPossible: the limits leave no plastic span.
    Source:
        NPTEL, Geotechnical engineering, module 3, worked example.
    Example:
        >>> print(f"{liquidity_index.plain(39.0, 48.0, 26.0):.2f}")
        0.59
    """
    refuse_if(nominal(liquid_limit) <= nominal(plastic_limit), "the limits leave no plastic span")
    return (moisture - plastic_limit) / (liquid_limit - plastic_limit)


@in_units(moisture="%", liquid_limit="%", plastic_limit="%", returns="1")
def consistency_index(moisture: Value, liquid_limit: Value, plastic_limit: Value) -> Value:
    """How far the clay is from flowing (0) to stiff (1).

    Formula:
        CI = (LL - w) / (LL - PL) = 1 - LI
    Args:
        moisture: [%] dry basis, as it lies.
        liquid_limit: [%] moisture, dry basis.
        plastic_limit: [%] moisture, dry basis.
    Returns:
        [1]
    Raises:
        NotPossible: the limits leave no plastic span.
    Source:
        Complement of the liquidity index; inputs of a public exercise.
    Example:
        >>> print(f"{consistency_index.plain(60.0, 200.0, 45.0):.2f}")
        0.90
    """
    return 1 - liquidity_index.plain(moisture, liquid_limit, plastic_limit)


@in_units(plastic_limit="%", moisture="%", liquidity="1", returns="%")
def liquid_limit_from(plastic_limit: Value, moisture: Value, liquidity: Value) -> Value:
    """Liquid limit, where the liquidity index is known instead.

    Formula:
        LL = PL + (w - PL) / LI
    Args:
        plastic_limit: [%] moisture, dry basis.
        moisture: [%] dry basis, as it lies.
        liquidity: [1] liquidity index.
    Returns:
        [%]
    Raises:
        NotPossible: an index of zero or less.
    Source:
        The liquidity index, solved for the limit.
    Example:
        >>> print(f"{liquid_limit_from.plain(28.0, 44.0, 0.55):.1f}")
        57.1
    """
    refuse_if(not_positive(liquidity), "a liquidity index of zero or less leaves the limit open")
    return plastic_limit + (moisture - plastic_limit) / liquidity


@in_units(index="%", clay="%", returns="1")
def activity(index: Value, clay: Value) -> Value:
    """How plastic the clay makes the soil, for each per cent of it.

    Below 0.75 is usually called inactive (from memory); one published example calls 0.40 normal.

    Formula:
        A = PI / clay
    Args:
        index: [%] plasticity index.
        clay: [%] clay by mass.
    Returns:
        [1]
    Raises:
        NotPossible: no clay.
    Source:
        NPTEL, Geotechnical engineering, module 3, worked example.
    Example:
        >>> print(f"{activity.plain(22.0, 55.0):.2f}")
        0.40
    """
    refuse_if(
        (nominal(clay) <= 0) | (nominal(clay) > 100),
        "activity needs a clay content within 0 to 100 %",
    )
    return index / clay


def plasticity_called(liquid_limit: float) -> str:
    """Word for the plasticity of a soil, by its liquid limit in per cent.

    Formula:
        the row of the table that the liquid limit falls in
    Source:
        NPTEL, Geotechnical engineering, module 3 (35 to 50 is intermediate); others from memory.
    Example:
        >>> plasticity_called(48.0)
        'intermediate'
    """
    rows = load("clay")["plasticity"]
    return next(str(row["called"]) for row in rows if liquid_limit < row["below"])
