"""Water in clay and what ignition drives off. Each value names the mass it is a part of."""

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units


@in_units(wet_mass="g", dry_mass="g", can_mass="g", returns="%")
def moisture_dry_basis(wet_mass: Value, dry_mass: Value, can_mass: Value = 0.0) -> Value:
    """Water as a part of the dry mass: the basis used all through the notebook.

    Formula:
        w = 100 (m_wet - m_dry) / (m_dry - m_can)
    Args:
        wet_mass: [g] of the sample, with its can where it stands in one.
        dry_mass: [g] after the oven, with the same can.
        can_mass: [g] of the can; 0 where the masses are without it.
    Returns:
        [%] of the dry mass; above 100 is possible.
    Raises:
        NotPossible: the wet mass is less than the dry one, or the dry mass less than the can's.
    Source:
        ASTM D2216-19: water mass over solid mass.
    Example:
        >>> moisture_dry_basis.plain(320.0, 310.0, 260.0)
        20.0
    """
    _refuse_bad_drying(wet_mass, dry_mass, can_mass)
    return 100 * (wet_mass - dry_mass) / (dry_mass - can_mass)


@in_units(wet_mass="g", dry_mass="g", can_mass="g", returns="%")
def moisture_wet_basis(wet_mass: Value, dry_mass: Value, can_mass: Value = 0.0) -> Value:
    """Water as a part of the mass as received.

    Formula:
        m = 100 (m_wet - m_dry) / (m_wet - m_can)
    Args:
        wet_mass: [g] of the sample, with its can where it stands in one.
        dry_mass: [g] after the oven, with the same can.
        can_mass: [g] of the can; 0 where the masses are without it.
    Returns:
        [%] of the wet mass, 0 to 100.
    Raises:
        NotPossible: the wet mass is less than the dry one, or the dry mass less than the can's.
    Source:
        ASTM C324, free moisture, from memory.
    Example:
        >>> print(f"{moisture_wet_basis.plain(53.12, 43.27, 4.21):.2f}")
        20.14
    """
    _refuse_bad_drying(wet_mass, dry_mass, can_mass)
    return 100 * (wet_mass - dry_mass) / (wet_mass - can_mass)


@in_units(wet_basis="%", returns="%")
def dry_basis_from_wet(wet_basis: Value) -> Value:
    """The moisture on the dry mass, from one stated on the wet mass.

    Formula:
        w = 100 m / (100 - m)
    Args:
        wet_basis: [%] of the wet mass.
    Returns:
        [%] of the dry mass.
    Raises:
        OutOfRange: the moisture does not lie within 0 to 100 %.
    Source:
        BC moisture note on wood fuel; algebra.
    Example:
        >>> dry_basis_from_wet.plain(20.0)
        25.0
    """
    refuse_outside(
        (nominal(wet_basis) < 0) | (nominal(wet_basis) >= 100),
        "moisture on the wet mass: 0 to 100 %",
    )
    return 100 * wet_basis / (100 - wet_basis)


@in_units(dry_basis="%", returns="%")
def wet_basis_from_dry(dry_basis: Value) -> Value:
    """The moisture on the wet mass, from one stated on the dry mass.

    Formula:
        m = 100 w / (100 + w)
    Args:
        dry_basis: [%] of the dry mass.
    Returns:
        [%] of the wet mass.
    Raises:
        OutOfRange: the moisture is negative.
    Source:
        Note of a maker of dryers; algebra.
    Example:
        >>> wet_basis_from_dry.plain(25.0)
        20.0
    """
    refuse_outside(negative(dry_basis), "moisture must not be negative")
    return 100 * dry_basis / (100 + dry_basis)


@in_units(dry_mass="g", ignited_mass="g", can_mass="g", returns="%")
def loss_on_ignition(dry_mass: Value, ignited_mass: Value, can_mass: Value = 0.0) -> Value:
    """What heat drives off a dry clay: bound water, carbon, carbonate.

    Formula:
        LOI = 100 (m_dry - m_ignited) / (m_dry - m_crucible)
    Args:
        dry_mass: [g] oven dry, with its crucible where it stands in one.
        ignited_mass: [g] after 900 to 1100 degC to constant mass, with the same crucible.
        can_mass: [g] of the crucible; 0 where the masses are without it.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: the clay gained mass in the fire, or weighs less than its crucible.
    Source:
        Common practice; the worked clay row of a public table is its check.
    Example:
        >>> print(f"{loss_on_ignition.plain(27.3500, 26.9800, 24.8500):.1f}")
        14.8
    """
    refuse_if(less(dry_mass, ignited_mass), "a clay does not gain mass in the fire")
    refuse_if(
        less(ignited_mass, can_mass),
        "the ignited mass is less than that of its crucible",
    )
    refuse_if(
        nominal(dry_mass) <= nominal(can_mass), "the dry mass is not more than that of its crucible"
    )
    return 100 * (dry_mass - ignited_mass) / (dry_mass - can_mass)


@in_units(loss_as_received="%", moisture_wet="%", returns="%")
def loss_on_dry_mass(loss_as_received: Value, moisture_wet: Value) -> Value:
    """Ignition loss on the dry mass, from one without moisture stated on the mass as received.

    Formula:
        LOI_dry = 100 LOI / (100 - m)
    Args:
        loss_as_received: [%] of the mass as received, moisture not counted in it.
        moisture_wet: [%] of the mass as received.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: loss and moisture make up more than the whole.
    Source:
        Algebra, as in note of a maker of dryers.
    Example:
        >>> loss_on_dry_mass.plain(8.0, 20.0)
        10.0
    """
    refuse_if(negative(loss_as_received, moisture_wet), "a loss must not be negative")
    refuse_if(
        nominal(loss_as_received) + nominal(moisture_wet) >= 100,
        "loss and moisture exceed the whole",
    )
    return 100 * loss_as_received / (100 - moisture_wet)


@in_units(wet_mass="g", dry_mass="g", returns="%")
def water_of_plasticity(wet_mass: Value, dry_mass: Value) -> Value:
    """Water that made the clay fit for moulding, as a part of the dry mass.

    Formula:
        100 (W_p - W_d) / W_d
    Args:
        wet_mass: [g] as moulded.
        dry_mass: [g] oven dry.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: the wet mass is less than the dry one.
    Source:
        Ceramic testing practice, formula from memory; identity in Florida State Geological
        Survey, Fifteenth Annual Report, 1924.
    Example:
        >>> water_of_plasticity.plain(420.0, 336.0)
        25.0
    """
    _refuse_bad_drying(wet_mass, dry_mass, 0.0)
    return 100 * (wet_mass - dry_mass) / dry_mass


@in_units(
    wet_volume="cm**3", dry_volume="cm**3", dry_mass="g", water_density="g/cm**3", returns="%"
)
def shrinkage_water(
    wet_volume: Value, dry_volume: Value, dry_mass: Value, water_density: Value = 1.0
) -> Value:
    """The water whose loss made the piece shrink, as a part of the dry mass.

    Formula:
        100 rho_w (V_p - V_d) / W_d
    Args:
        wet_volume: [cm**3] as moulded.
        dry_volume: [cm**3] dry.
        dry_mass: [g] oven dry.
        water_density: [g/cm**3] of the water.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: the dry volume is the greater one.
    Source:
        Ceramic testing practice, formula from memory; identity in Florida State Geological
        Survey, Fifteenth Annual Report, 1924.
    Example:
        >>> print(f"{shrinkage_water.plain(220.0, 180.0, 336.0):.1f}")
        11.9
    """
    refuse_if(less(wet_volume, dry_volume), "the dry volume is greater than the wet one")
    refuse_if(not_positive(dry_mass), "the dry mass must be greater than zero")
    return 100 * water_density * (wet_volume - dry_volume) / dry_mass


@in_units(plasticity_water="%", shrinking_water="%", returns="%")
def pore_water(plasticity_water: Value, shrinking_water: Value) -> Value:
    """The water left in the pores when shrinking stops, as a part of the dry mass.

    Formula:
        pore water = water of plasticity - shrinkage water
    Args:
        plasticity_water: [%] of the dry mass.
        shrinking_water: [%] of the dry mass.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: more water shrank the piece than was in it.
    Source:
        Florida State Geological Survey, Fifteenth Annual Report, 1924 (tables of clays).
    Example:
        >>> print(f"{pore_water.plain(25.0, 11.9):.1f}")
        13.1
    """
    refuse_if(
        less(plasticity_water, shrinking_water),
        "shrinkage water exceeds all the water",
    )
    return plasticity_water - shrinking_water


def _refuse_bad_drying(wet_mass: Value, dry_mass: Value, can_mass: Value) -> None:
    refuse_if(negative(can_mass), "a mass must not be negative")
    refuse_if(
        nominal(dry_mass) <= nominal(can_mass), "the dry mass is not more than that of its can"
    )
    refuse_if(less(wet_mass, dry_mass), "the wet mass is less than the dry one")
