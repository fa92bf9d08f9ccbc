"""Shrinkage of clay in drying and firing. Each value names the length it is a part of."""

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units


def _lost_part(before: Value, after: Value, words: str) -> Value:
    refuse_if(
        not_positive(before, after),
        f"{words}: a length must be greater than zero",
    )
    refuse_if(less(before, after), f"{words}: the later length is the greater one")
    return 100 * (before - after) / before


@in_units(wet_length="mm", dry_length="mm", returns="%")
def drying_shrinkage(wet_length: Value, dry_length: Value) -> Value:
    """Linear drying shrinkage, as a part of the wet (as moulded) length.

    Formula:
        S_d = 100 (L_wet - L_dry) / L_wet
    Args:
        wet_length: [mm] as moulded.
        dry_length: [mm] of the same stretch, dry.
    Returns:
        [%] of the wet length.
    Raises:
        NotPossible: the dry length is the greater one, or a length is not above zero.
    Source:
        ASTM C326, formula from memory.
    Example:
        >>> drying_shrinkage.plain(100.0, 94.0)
        6.0
    """
    return _lost_part(wet_length, dry_length, "drying shrinkage")


@in_units(dry_length="mm", fired_length="mm", returns="%")
def firing_shrinkage(dry_length: Value, fired_length: Value) -> Value:
    """Linear firing shrinkage, as a part of the dry length.

    Formula:
        S_f = 100 (L_dry - L_fired) / L_dry
    Args:
        dry_length: [mm] before firing.
        fired_length: [mm] of the same stretch, fired.
    Returns:
        [%] of the dry length.
    Raises:
        NotPossible: the fired length is the greater one (misread, or the piece has bloated).
    Source:
        Common practice: firing shrinkage is taken on the dry length.
    Example:
        >>> print(f"{firing_shrinkage.plain(94.0, 88.0):.2f}")
        6.38
    """
    return _lost_part(dry_length, fired_length, "firing shrinkage")


@in_units(wet_length="mm", fired_length="mm", returns="%")
def total_shrinkage(wet_length: Value, fired_length: Value) -> Value:
    """Linear shrinkage from the mould to the fired brick, as a part of the wet length.

    Formula:
        S_t = 100 (L_wet - L_fired) / L_wet
    Args:
        wet_length: [mm] as moulded: the inside of the mould.
        fired_length: [mm] of the fired brick.
    Returns:
        [%] of the wet length.
    Raises:
        NotPossible: the fired length is the greater one.
    Source:
        Beamish and Donovan, Village-Level Brickmaking, appendix on the hinge mould.
    Example:
        >>> print(f"{total_shrinkage.plain(258.0, 240.0):.2f}")
        6.98
    """
    return _lost_part(wet_length, fired_length, "total shrinkage")


@in_units(drying="%", firing="%", returns="%")
def combined_shrinkage(drying: Value, firing: Value) -> Value:
    """Total linear shrinkage from its two steps; they compose, they do not add.

    Formula:
        1 - S_t = (1 - S_d)(1 - S_f)
    Args:
        drying: [%] of the wet length.
        firing: [%] of the dry length.
    Returns:
        [%] of the wet length.
    Raises:
        OutOfRange: a shrinkage does not lie within 0 to 100 %.
    Source:
        T. Hittle's derivation, quoted on a ceramics reference page; geometry.
    Example:
        >>> print(f"{combined_shrinkage.plain(6.25, 6.66):.3f}")
        12.494
    """
    _refuse_no_share(drying, "drying shrinkage")
    _refuse_no_share(firing, "firing shrinkage")
    return drying + firing * (1 - drying / 100)


@in_units(total="%", drying="%", returns="%")
def firing_part_of(total: Value, drying: Value) -> Value:
    """Firing shrinkage, on the dry length, that is left when drying is taken out of the total.

    Formula:
        S_f = (S_t - S_d) / (1 - S_d)
    Args:
        total: [%] of the wet length.
        drying: [%] of the wet length.
    Returns:
        [%] of the dry length.
    Raises:
        NotPossible: the total is less than its drying part.
    Source:
        Geometry; the inverse of combined_shrinkage.
    Example:
        >>> print(f"{firing_part_of.plain(12.0, 6.0):.2f}")
        6.38
    """
    _refuse_no_share(total, "total shrinkage")
    _refuse_no_share(drying, "drying shrinkage")
    refuse_if(less(total, drying), "total shrinkage is less than its drying part")
    return (total - drying) / (1 - drying / 100)


@in_units(linear="%", returns="%")
def volume_shrinkage(linear: Value) -> Value:
    """Volume shrinkage of a piece that shrinks alike in all directions, on the wet volume.

    Formula:
        b = 100 (1 - (1 - s)^3)
    Args:
        linear: [%] of the wet length.
    Returns:
        [%] of the wet volume.
    Raises:
        OutOfRange: the shrinkage does not lie within 0 to 100 %.
    Source:
        Geometry; also in ASTM C326, from memory.
    Example:
        >>> print(f"{volume_shrinkage.plain(8.0):.2f}")
        22.13
    """
    _refuse_no_share(linear, "linear shrinkage")
    return 100 * (1 - (1 - linear / 100) ** 3)


@in_units(volume="%", returns="%")
def linear_from_volume(volume: Value) -> Value:
    """Linear shrinkage from a volume shrinkage stated on the wet volume.

    Formula:
        s = 100 (1 - (1 - b)^(1/3))
    Args:
        volume: [%] of the wet volume.
    Returns:
        [%] of the wet length.
    Raises:
        OutOfRange: the shrinkage does not lie within 0 to 100 %.
    Source:
        Geometry.
    Example:
        >>> print(f"{linear_from_volume.plain(22.1312):.2f}")
        8.00
    """
    _refuse_no_share(volume, "volume shrinkage")
    return 100 * (1 - (1 - volume / 100) ** (1 / 3))


@in_units(volume_on_dry="%", returns="%")
def linear_from_dry_volume(volume_on_dry: Value) -> Value:
    """Linear shrinkage on the dry length, from a volume shrinkage stated on the dry volume.

    Formula:
        s = 100 ((1 + b)^(1/3) - 1)
    Args:
        volume_on_dry: [%] of the dry volume, as older American reports give it.
    Returns:
        [%] of the dry length.
    Raises:
        OutOfRange: the shrinkage is negative.
    Source:
        California State Mining Bureau, Preliminary Report 3, 1918 (basis); geometry.
    Example:
        >>> print(f"{linear_from_dry_volume.plain(25.9712):.2f}")
        8.00
    """
    refuse_outside(negative(volume_on_dry), "volume shrinkage must not be negative")
    return 100 * ((1 + volume_on_dry / 100) ** (1 / 3) - 1)


@in_units(on_dry="%", returns="%")
def on_wet_length(on_dry: Value) -> Value:
    """A shrinkage stated on the shorter (dry) length, restated on the longer (wet) one.

    Formula:
        s_wet = s_dry / (1 + s_dry)
    Args:
        on_dry: [%] of the dry length.
    Returns:
        [%] of the wet length.
    Raises:
        OutOfRange: the shrinkage is negative.
    Source:
        Geometry.
    Example:
        >>> print(f"{on_wet_length.plain(25.0):.1f}")
        20.0
    """
    refuse_outside(negative(on_dry), "shrinkage must not be negative")
    return 100 * on_dry / (100 + on_dry)


@in_units(on_wet="%", returns="%")
def on_dry_length(on_wet: Value) -> Value:
    """A shrinkage stated on the longer (wet) length, restated on the shorter (dry) one.

    Formula:
        s_dry = s_wet / (1 - s_wet)
    Args:
        on_wet: [%] of the wet length.
    Returns:
        [%] of the dry length.
    Raises:
        OutOfRange: the shrinkage does not lie within 0 to 100 %.
    Source:
        Geometry.
    Example:
        >>> print(f"{on_dry_length.plain(20.0):.1f}")
        25.0
    """
    _refuse_no_share(on_wet, "shrinkage")
    return 100 * on_wet / (100 - on_wet)


@in_units(top_length="mm", bottom_length="mm", returns="mm")
def curled_bar_length(top_length: Value, bottom_length: Value) -> Value:
    """Length of a bar that curled in drying: the mean of its two long faces.

    Formula:
        L = (L_top + L_bottom) / 2
    Args:
        top_length: [mm] along the top face.
        bottom_length: [mm] along the bottom face.
    Returns:
        [mm]
    Raises:
        NotPossible: a length is not greater than zero.
    Source:
        BS 1377-2:1990, clause 6.5, as restated in secondary sources.
    Example:
        >>> curled_bar_length.plain(128.0, 130.0)
        129.0
    """
    refuse_if(
        not_positive(top_length, bottom_length),
        "a length must be greater than zero",
    )
    return (top_length + bottom_length) / 2


@in_units(
    first_moisture="%",
    stop_moisture="%",
    solid_density="kg/m**3",
    water_density="kg/m**3",
    returns="%",
)
def shrinkage_by_water_lost(
    first_moisture: Value,
    stop_moisture: Value,
    solid_density: Value = 2650.0,
    water_density: Value = 1000.0,
) -> Value:
    """Linear drying shrinkage of a clay without air that shrinks by the water it loses.

    Air in the clay makes the true shrinkage less than this.

    Formula:
        s = 1 - [(1/rho_s + X_c/rho_w) / (1/rho_s + X_0/rho_w)]^(1/3)
    Args:
        first_moisture: [%] dry basis, as moulded.
        stop_moisture: [%] dry basis, where shrinking stops.
        solid_density: [kg/m**3] of the clay grains.
        water_density: [kg/m**3] of the water.
    Returns:
        [%] of the wet length.
    Raises:
        NotPossible: the stop lies above the first moisture, or a moisture is negative.
    Source:
        Bigot's curve (Maciulaitis and Malaiskiene): above the stop, volume lost is water lost.
    Example:
        >>> print(f"{shrinkage_by_water_lost.plain(25.0, 12.0):.1f}")
        7.4
    """
    refuse_if(
        negative(stop_moisture, first_moisture),
        "moisture must not be negative",
    )
    refuse_if(
        less(first_moisture, stop_moisture),
        "shrinking cannot stop above the first moisture",
    )
    after = 1 / solid_density + stop_moisture / 100 / water_density
    before = 1 / solid_density + first_moisture / 100 / water_density
    return 100 * (1 - (after / before) ** (1 / 3))


def _refuse_no_share(value: Value, words: str) -> None:
    refuse_outside(
        (nominal(value) < 0) | (nominal(value) >= 100), f"{words} must lie within 0 to 100 %"
    )
