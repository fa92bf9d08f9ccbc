"""How fast a brick dries: constant and falling rate, diffusion, and thin-layer laws.

Moisture is on the dry mass throughout; in formulas of time it is a plain fraction (kg of water for
each kg of dry clay), as drying theory writes it.
"""

import math

import numpy as np

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import exp, log, nominal, power
from fieldbook.quantities import in_units

SERIES_TERMS = 200
"""Terms of the series that are summed; once drying is under way the first few count; ours."""


@in_units(first="1", last="1", dry_mass_by_area="kg/m**2", rate="kg/(m**2*h)", returns="h")
def constant_rate_time(first: Value, last: Value, dry_mass_by_area: Value, rate: Value) -> Value:
    """Time in the constant-rate period: the surface is wet, the weather sets the pace.

    Formula:
        t = (m_d/A) (X_1 - X_2) / R_c
    Args:
        first: [1] moisture at the start, dry basis.
        last: [1] moisture at the end, not below the critical one.
        dry_mass_by_area: [kg/m**2] dry mass for each area open to the air.
        rate: [kg/(m**2*h)] of drying.
    Returns:
        [h]
    Raises:
        NotPossible: a brick does not dry to a higher moisture; no rate.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.6-2.
    Example:
        >>> print(f"{constant_rate_time.plain(0.38, 0.25, 21.5, 1.51):.2f}")
        1.85
    """
    refuse_if(less(first, last), "a brick does not dry to a higher moisture")
    refuse_if(
        not_positive(rate, dry_mass_by_area),
        "rate and mass must be greater than zero",
    )
    return dry_mass_by_area * (first - last) / rate


@in_units(
    first="1", last="1", critical="1", equilibrium="1",
    dry_mass_by_area="kg/m**2", rate="kg/(m**2*h)", returns="h",
)  # fmt: skip
def falling_rate_time(
    first: Value,
    last: Value,
    critical: Value,
    equilibrium: Value,
    *,
    dry_mass_by_area: Value,
    rate: Value,
) -> Value:
    """Time in the falling-rate period, the rate taken to fall in a straight line.

    Formula:
        t = (m_d/A) (X_c - X_e)/R_c ln[(X_1 - X_e) / (X_2 - X_e)]
    Args:
        first: [1] moisture at the start, not above the critical one.
        last: [1] moisture at the end, above the equilibrium one.
        critical: [1] moisture at which the rate begins to fall.
        equilibrium: [1] moisture at which this air dries no further.
        dry_mass_by_area: [kg/m**2] dry mass for each area open to the air.
        rate: [kg/(m**2*h)] of the constant-rate period.
    Returns:
        [h]
    Raises:
        NotPossible: the end lies at or below the equilibrium, where no time suffices.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.7-2.
    Example:
        >>> tray = {"dry_mass_by_area": 399 / 18.58, "rate": 1.51}
        >>> print(f"{falling_rate_time.plain(0.195, 0.040, 0.195, 0.0, **tray):.2f}")
        4.39
    """
    refuse_if(less(first, last), "a brick does not dry to a higher moisture")
    refuse_if(less(critical, first), "above the critical moisture the rate is constant")
    refuse_if(
        nominal(last) <= nominal(equilibrium),
        "this air dries no further than its equilibrium moisture",
    )
    refuse_if(
        not_positive(rate, dry_mass_by_area),
        "rate and mass must be greater than zero",
    )
    span = critical - equilibrium
    return dry_mass_by_area * span / rate * log((first - equilibrium) / (last - equilibrium))


@in_units(
    first="1", last="1", critical="1", equilibrium="1",
    dry_mass_by_area="kg/m**2", rate="kg/(m**2*h)", returns="h",
)  # fmt: skip
def drying_time(
    first: float,
    last: float,
    critical: float,
    equilibrium: float,
    *,
    dry_mass_by_area: float,
    rate: float,
) -> Value:
    """Time to dry from one moisture to another, through both periods as they come.

    Formula:
        t = t_constant + t_falling
    Args:
        first: [1] moisture at the start, dry basis.
        last: [1] moisture at the end, above the equilibrium one.
        critical: [1] moisture at which the rate begins to fall.
        equilibrium: [1] moisture at which this air dries no further.
        dry_mass_by_area: [kg/m**2] dry mass for each area open to the air.
        rate: [kg/(m**2*h)] of the constant-rate period.
    Returns:
        [h]
    Raises:
        NotPossible: as for either period.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Examples 9.6-2 and 9.7-2.
    Example:
        >>> tray = {"dry_mass_by_area": 399 / 18.58, "rate": 1.51}
        >>> print(f"{drying_time.plain(0.38, 0.040, 0.195, 0.0, **tray):.2f}")
        7.02
    """
    refuse_if(less(first, last), "a brick does not dry to a higher moisture")
    hours: Value = 0.0
    if less(critical, first):
        stop = last if less(critical, last) else critical
        hours = constant_rate_time.plain(first, stop, dry_mass_by_area, rate)
    if less(last, critical):
        start = first if less(first, critical) else critical
        hours = hours + falling_rate_time.plain(
            start, last, critical, equilibrium, dry_mass_by_area=dry_mass_by_area, rate=rate
        )
    return hours


@in_units(time="h", diffusivity="m**2/h", half_thickness="m", returns="1")
def slab_moisture_ratio(time: Value, diffusivity: Value, half_thickness: Value) -> Value:
    """Free moisture left in a slab that dries from both faces by diffusion, as a part of the first.

    Formula:
        (8/pi^2) sum exp[-(2n + 1)^2 pi^2 D t / (4 L^2)] / (2n + 1)^2
    Args:
        time: [h] since drying began.
        diffusivity: [m**2/h] of the water in the clay.
        half_thickness: [m] from a face to the middle.
    Returns:
        [1] from 1 to 0.
    Raises:
        OutOfRange: a negative time.
    Source:
        Geankoplis, Transport Processes and Unit Operations, 9.9 (Crank's series).
    Example:
        >>> print(f"{slab_moisture_ratio.plain(30.8, 2.97e-6, 0.0127):.2f}")
        0.20
    """
    refuse_outside(negative(time), "time must not be negative")
    pace = math.pi**2 * diffusivity * time / (4 * half_thickness**2)
    odd = range(1, 2 * SERIES_TERMS, 2)
    return 8 / math.pi**2 * sum(exp(-(n**2) * pace) / n**2 for n in odd)


@in_units(
    first="1", last="1", equilibrium="1", diffusivity="m**2/h", half_thickness="m", returns="h"
)
def slab_drying_time(
    first: Value, last: Value, equilibrium: Value, diffusivity: Value, half_thickness: Value
) -> Value:
    """Time for a slab that dries from both faces by diffusion; the late stage, one term.

    Formula:
        t = 4 L^2 / (pi^2 D) ln[8 (X_1 - X_e) / (pi^2 (X_2 - X_e))]
    Args:
        first: [1] moisture at the start, even through the slab.
        last: [1] mean moisture at the end.
        equilibrium: [1] moisture at which this air dries no further.
        diffusivity: [m**2/h] of the water in the clay.
        half_thickness: [m] from a face to the middle.
    Returns:
        [h]
    Raises:
        OutOfRange: more than 0.6 of the free moisture is left: the first term does not suffice.
        NotPossible: the end lies at or below the equilibrium.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.9-1.
    Example:
        >>> print(f"{slab_drying_time.plain(0.29, 0.09, 0.04, 2.97e-6, 0.0127):.1f}")
        30.8
    """
    refuse_if(
        nominal(last) <= nominal(equilibrium),
        "this air dries no further than its equilibrium moisture",
    )
    left = (last - equilibrium) / (first - equilibrium)
    refuse_outside(
        nominal(left) > 0.6, "the one-term form needs less than 0.6 of the free moisture left"
    )
    return 4 * half_thickness**2 / (math.pi**2 * diffusivity) * log(8 / (math.pi**2 * left))


@in_units(time="h", thickness="m", other_thickness="m", returns="h")
def time_for_thickness(time: Value, thickness: Value, other_thickness: Value) -> Value:
    """Time that another thickness takes, where diffusion inside sets the pace.

    Formula:
        t_2 = t_1 (L_2 / L_1)^2
    Args:
        time: [h] for the first thickness.
        thickness: [m] the first.
        other_thickness: [m] the other.
    Returns:
        [h]
    Raises:
        NotPossible: a thickness that is not above zero.
    Source:
        Coulson and Richardson, volume 2, problem 16.2 (time goes with thickness squared).
    Example:
        >>> time_for_thickness.plain(10.0, 0.010, 0.060)
        360.0
    """
    refuse_if(
        not_positive(thickness, other_thickness),
        "a thickness must be above zero",
    )
    return time * (other_thickness / thickness) ** 2


@in_units(time="h", constant="1/h", exponent="1", returns="1")
def page_moisture_ratio(time: Value, constant: Value, exponent: float = 1.0) -> Value:
    """Thin-layer law of Page; with an exponent of 1, that of Lewis.

    Formula:
        MR = exp(-k t^n)
    Args:
        time: [h] since drying began.
        constant: [1/h] k, in h^-n.
        exponent: [1] n.
    Returns:
        [1] part of the free moisture that is left.
    Raises:
        OutOfRange: a negative time.
    Source:
        Sander 2007, Chem. Eng. Process. 46, 1324: Lewis acceptable for clay, Page better.
    Example:
        >>> print(f"{page_moisture_ratio.plain(4.0, 0.35, 0.85):.4f}")
        0.3207
    """
    refuse_outside(negative(time), "time must not be negative")
    return exp(-constant * power(time, exponent))


@in_units(ratio="1", constant="1/h", exponent="1", returns="h")
def page_time(ratio: Value, constant: Value, exponent: float = 1.0) -> Value:
    """Time at which Page's law leaves a given part of the free moisture.

    Formula:
        t = (-ln(MR) / k)^(1/n)
    Args:
        ratio: [1] part of the free moisture that is left.
        constant: [1/h] k, in h^-n.
        exponent: [1] n.
    Returns:
        [h]
    Raises:
        OutOfRange: a part outside 0 to 1.
    Source:
        Sander 2007, Chem. Eng. Process. 46, 1324; solved for the time.
    Example:
        >>> print(f"{page_time.plain(0.05, 0.35, 0.85):.2f}")
        12.50
    """
    refuse_outside(
        (nominal(ratio) <= 0) | (nominal(ratio) > 1), "the part left lies between 0 and 1"
    )
    return power(-log(ratio) / constant, 1 / exponent)


@in_units(
    density="kg/m**3", film="W/(m**2*K)", temperature_difference="K", thickness="m",
    porosity="1", latent="J/kg", returns="h",
)  # fmt: skip
def front_drying_time(
    density: Value,
    film: Value,
    temperature_difference: Value,
    *,
    thickness: Value,
    porosity: Value,
    latent: Value,
) -> Value:
    """Time for the pores of a slab to empty, the heat for it coming through a film of air.

    Formula:
        t = eps rho_w l L_v / (h dT)
    Args:
        density: [kg/m**3] of the water.
        film: [W/(m**2*K)] film coefficient of the air.
        temperature_difference: [K] from the air to the drying front.
        thickness: [m] to be emptied, from one face.
        porosity: [1] part of the volume that is water.
        latent: [J/kg] of vaporisation.
    Returns:
        [h]
    Raises:
        NotPossible: no film or no temperature difference.
    Source:
        Cussler, Diffusion, Example 21.3-1.
    Example:
        >>> slab = {"thickness": 0.04, "porosity": 0.36, "latent": 2300e3}
        >>> print(f"{front_drying_time.plain(1000.0, 30.0, 44.0, **slab):.2f}")
        6.97
    """
    refuse_if(
        not_positive(film, temperature_difference),
        "no heat reaches the drying front",
    )
    water = porosity * density * thickness
    return water * latent / (film * temperature_difference) / 3600


@in_units(hours="h", moistures="1", dry_mass_by_area="kg/m**2", returns="kg/(m**2*h)")
def drying_rates(hours: Value, moistures: Value, dry_mass_by_area: float) -> Value:
    """Rate of drying between weighings, for each area open to the air.

    Formula:
        R = (m_d/A) (X_i - X_(i+1)) / (t_(i+1) - t_i)
    Args:
        hours: [h] of the weighings, rising.
        moistures: [1] at them, dry basis.
        dry_mass_by_area: [kg/m**2] dry mass for each area open to the air.
    Returns:
        [kg/(m**2*h)] one fewer than the weighings.
    Raises:
        NotPossible: times that do not rise.
    Source:
        Anantharaman and Begum, Elements of Mass Transfer 1, Example 6.5.
    Example:
        >>> print(drying_rates.plain([0.0, 1.0], [0.29, 0.244], 4.12).round(2))
        [0.19]
    """
    times, water = np.asarray(hours, float), np.asarray(moistures)
    refuse_if(np.diff(times) <= 0, "the times of the weighings must rise")
    return -dry_mass_by_area * np.diff(water) / np.diff(times)


@in_units(moistures="1", rates="kg/(m**2*h)", dry_mass_by_area="kg/m**2", returns="h")
def time_by_measured_rates(moistures: Value, rates: Value, dry_mass_by_area: float) -> float:
    """Time in the falling-rate period by a measured curve instead of a straight line.

    Formula:
        t = (m_d/A) integral of dX / R, by trapezoids
    Args:
        moistures: [1] dry basis, falling.
        rates: [kg/(m**2*h)] measured at them.
        dry_mass_by_area: [kg/m**2] dry mass for each area open to the air.
    Returns:
        [h]
    Raises:
        NotPossible: moistures that do not fall, or a rate that is not above zero.
    Source:
        Geankoplis, Transport Processes and Unit Operations, Example 9.7-1.
    Example:
        >>> x, r = [0.195, 0.150, 0.100, 0.065, 0.050, 0.040], [1.51, 1.21, 0.90, 0.71, 0.37, 0.27]
        >>> print(f"{time_by_measured_rates.plain(x, r, 399 / 18.58):.2f}")
        4.06
    """
    water, pace = np.asarray(moistures, float), np.asarray(rates, float)
    refuse_if(np.diff(water) >= 0, "the moistures must fall")
    refuse_if(not_positive(pace), "a rate must be greater than zero")
    slowness = 1 / pace
    return float(dry_mass_by_area * np.sum(-np.diff(water) * (slowness[1:] + slowness[:-1]) / 2))
