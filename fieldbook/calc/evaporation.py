"""How fast water leaves a wet surface: coefficients of heat and mass, and open water in weather."""

import math

from fieldbook.calc.refusal import (
    Value,
    less,
    negative,
    not_positive,
    outside,
    refuse_if,
    refuse_outside,
)
from fieldbook.calc.uncertainty import nominal, power
from fieldbook.quantities import in_units

YARD_FILM = (5.0, 15.0)
"""[W/(m**2*K)] Film coefficient in a yard stack, in the shade. From memory; to be fitted."""

PLATE_TRANSITION = 5e5
"""[1] Reynolds number below which a plate's boundary layer is not turbulent (Incropera)."""


@in_units(mass_velocity="kg/(m**2*h)", returns="W/(m**2*K)")
def film_along_surface(mass_velocity: Value) -> Value:
    """Film coefficient of air that blows along a wet surface.

    Formula:
        h = 0.0204 G^0.8
    Args:
        mass_velocity: [kg/(m**2*h)] of the air, 2450 to 29300 (range from memory).
    Returns:
        [W/(m**2*K)]
    Raises:
        OutOfRange: outside that range.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.6-3.
    Example:
        >>> print(f"{film_along_surface.plain(22770.0):.1f}")
        62.4
    """
    refuse_outside(
        outside(mass_velocity, 2450, 29300),
        "mass velocity must lie within 2450 to 29300 kg/(m2 h)",
    )
    return 0.0204 * power(mass_velocity, 0.8)


@in_units(mass_velocity="kg/(m**2*s)", hydraulic_diameter="m", returns="W/(m**2*K)")
def film_in_channel(mass_velocity: Value, hydraulic_diameter: Value) -> Value:
    """Film coefficient of air in the channel between trays or stacks.

    Formula:
        h = 5.90 G^0.71 / d_e^0.29
    Args:
        mass_velocity: [kg/(m**2*s)] of the air.
        hydraulic_diameter: [m] of the channel: four times its area over its edge.
    Returns:
        [W/(m**2*K)]
    Raises:
        NotPossible: no air or no channel.
    Source:
        Treybal, Mass-Transfer Operations, equation 12.20.
    Example:
        >>> print(f"{film_in_channel.plain(1.0, 1.0):.2f}")
        5.90
    """
    refuse_if(not_positive(mass_velocity, hydraulic_diameter), "no air, or no channel")
    return 5.90 * power(mass_velocity, 0.71) / power(hydraulic_diameter, 0.29)


@in_units(
    film="W/(m**2*K)", temperature="degC", wet_bulb="degC", latent="J/kg", returns="kg/(m**2*h)"
)
def constant_rate(film: Value, temperature: Value, wet_bulb: Value, latent: Value) -> Value:
    """Rate of drying while the surface is wet, in the shade: heat through the film sets it.

    Formula:
        R_c = h (T - T_wet bulb) / L_v
    Args:
        film: [W/(m**2*K)] film coefficient.
        temperature: [degC] of the air.
        wet_bulb: [degC] of the air.
        latent: [J/kg] of vaporisation at the wet bulb.
    Returns:
        [kg/(m**2*h)]
    Raises:
        NotPossible: a wet bulb above the air.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.6-3.
    Example:
        >>> print(f"{constant_rate.plain(62.5, 65.6, 28.9, 2433e3):.2f}")
        3.39
    """
    refuse_if(less(temperature, wet_bulb), "the wet bulb cannot be warmer than the air")
    refuse_if(
        not_positive(film, latent),
        "film and latent heat must be greater than zero",
    )
    return 3600 * film * (temperature - wet_bulb) / latent


@in_units(
    wind="m/s", length="m", start="m", viscosity="m**2/s", diffusivity="m**2/s",
    vapour_density="kg/m**3", humidity="%", returns="kg/(m**2*h)",
)  # fmt: skip
def pool_evaporation(
    wind: float,
    length: float,
    start: float,
    *,
    viscosity: float,
    diffusivity: float,
    vapour_density: float,
    humidity: float,
) -> float:
    """Rate at which a pool in the wind evaporates, behind a dry stretch that already stirs the air.

    Formula:
        Sh = 0.037 Re^0.8 Sc^(1/3) over the whole run, the dry start taken off;
        R = h_m rho_sat (1 - RH)
    Args:
        wind: [m/s] along the pool.
        length: [m] of the water along the wind.
        start: [m] of dry deck upwind.
        viscosity: [m**2/s] of the air, kinematic.
        diffusivity: [m**2/s] of vapour in air.
        vapour_density: [kg/m**3] of saturated vapour at the surface.
        humidity: [%] relative, of the air.
    Returns:
        [kg/(m**2*h)]
    Raises:
        OutOfRange: too slow or too short for a turbulent boundary layer.
    Source:
        Incropera et al., Fundamentals of Heat and Mass Transfer, Example 7.3.
    Example:
        >>> air = {"viscosity": 15.7e-6, "diffusivity": 0.26e-4}
        >>> rate = pool_evaporation.plain(2.0, 12.0, 1.5, vapour_density=0.0226, humidity=50, **air)
        >>> print(f"{24 * rate:.2f}")
        5.64
    """
    refuse_outside(
        outside(humidity, 0, 100),
        "relative humidity must lie in 0 to 100 %",
    )
    run = start + length
    reynolds = wind * run / viscosity
    refuse_outside(
        nominal(reynolds) < PLATE_TRANSITION, "the air is not turbulent over so short a run"
    )
    sherwood: float = 0.037 * reynolds**0.8 * (viscosity / diffusivity) ** (1 / 3)
    dry = (1 - (start / run) ** 0.9) ** (8 / 9) * run / length if start else 1.0
    transfer = sherwood * diffusivity / run * dry
    return 3600 * transfer * vapour_density * (1 - humidity / 100)


@in_units(wind="km/day", saturation="mbar", humidity="%", returns="cm/day")
def open_water_by_wind(wind: Value, saturation: Value, humidity: Value) -> Value:
    """Evaporation of open water that wind and dry air cause.

    Formula:
        E_a = (0.013 + 0.00016 u) e_s (1 - RH)
    Args:
        wind: [km/day] at 2 m height.
        saturation: [mbar] vapour pressure at the temperature of the air.
        humidity: [%] relative.
    Returns:
        [cm/day]
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        Dunne's form of Penman's equation, as in an examination of San Diego State University.
    Example:
        >>> print(f"{open_water_by_wind.plain(150.0, 17.04, 70.0):.3f}")
        0.189
    """
    refuse_outside(
        outside(humidity, 0, 100),
        "relative humidity must lie in 0 to 100 %",
    )
    return (0.013 + 0.00016 * wind) * saturation * (1 - humidity / 100)


@in_units(by_wind="cm/day", by_sun="cm/day", weight="1", returns="cm/day")
def open_water_by_penman(by_wind: Value, by_sun: Value, weight: Value) -> Value:
    """Evaporation of open water from what the sun alone and the wind alone would cause.

    Formula:
        E = (alpha E_n + E_a) / (alpha + 1)
    Args:
        by_wind: [cm/day] E_a.
        by_sun: [cm/day] E_n, net radiation over latent heat.
        weight: [1] alpha, slope of the vapour pressure over the psychrometer constant.
    Returns:
        [cm/day]
    Raises:
        NotPossible: a negative weight.
    Source:
        Penman's equation, as in an examination of San Diego State University.
    Example:
        >>> print(f"{open_water_by_penman.plain(0.189, 550 / 589.0, 1.66):.2f}")
        0.65
    """
    refuse_if(negative(weight), "the weight must not be negative")
    return (weight * by_sun + by_wind) / (weight + 1)


@in_units(length="m", width="m", height="m", returns="m**2")
def open_area(
    length: float, width: float, height: float, blocked: tuple[str, ...] = ("bottom",)
) -> float:
    """Area of a brick that stands open to the air.

    Formula:
        2 (l w + l h + w h) less the blocked faces
    Args:
        length: [m]
        width: [m]
        height: [m]
        blocked: faces that touch something: bottom, top, side, end; one word for each face.
    Returns:
        [m**2]
    Raises:
        NotPossible: a side that is not above zero, or no face left open.
    Source:
        Geometry.
    Example:
        >>> print(f"{open_area.plain(0.230, 0.110, 0.070):.4f}")
        0.0729
    """
    refuse_if(min(length, width, height) <= 0, "a side must be greater than zero")
    face = {
        "bottom": length * width, "top": length * width,
        "side": length * height, "end": width * height,
    }  # fmt: skip
    area = math.fsum(2 * face[name] for name in ("top", "side", "end"))
    area -= math.fsum(face[name] for name in blocked)
    refuse_if(not_positive(area), "no face is left open to the air")
    return area
