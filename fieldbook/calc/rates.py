"""How fast a brick may be heated and cooled, and which rule says so."""

from typing import Any, NamedTuple

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, Parameters, drying_times
from fieldbook.calc.firing import PlaceState
from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.errors import OutOfRange
from fieldbook.frozen import frozen
from fieldbook.quantities import in_units

QUARTZ_ZONE = (520.0, 620.0)  # degC, about the inversion at 573; from memory
QUARTZ_RATE = 50.0  # K/h; Fortuna 2000 for cooling, common practice for heating
STEAM_CEILING = 110.0  # degC, the middle of 100 to 120, which a wet core should not pass
STEAM_DRY = 1.0  # % of dry mass, below which steam does no harm
STEAM_SURFACE = 150.0  # degC
STEAM_PRACTICE = 25.0  # K/h, the most of cautious practice below 150 degC, from memory
STEAM_PRACTICE_THICKNESS = 0.075  # m, for which it is meant
SLOWEST = 2.0  # K/h that a fire can be held to


class Strength(NamedTuple):
    """What a brick stands: placeholders from memory until the maker's own bricks say better."""

    strength: float = 1e6  # Pa
    modulus: float = 10e9  # Pa
    poisson: float = 0.2
    expansion: float = 6e-6  # 1/K; 3.1e-6 to 12.4e-6 for fired brick (Merritt)
    source: str = (
        "strength 1 MPa, modulus 10 GPa, Poisson 0.2 from memory; expansion of fired brick "
        "3.1e-6 to 12.4e-6 /K (Merritt); a scaling law, to be calibrated by cracked bricks"
    )


GREEN = Strength()
FIRED = Strength(
    strength=2e6, source=GREEN.source.replace("strength 1 MPa", "fired strength 2 MPa")
)


@in_units(
    strength="Pa",
    modulus="Pa",
    poisson="1",
    expansion="1/K",
    diffusivity="m2/s",
    half_thickness="m",
    returns="K/h",
)
def stress_climb(
    *,
    strength: Any,
    modulus: Any,
    poisson: Any,
    expansion: Any,
    diffusivity: Any,
    half_thickness: Any,
) -> Any:
    """The climb at which the core of a slab is pulled as hard as it stands.

    Formula:
        r = 3 s (1 - nu)/(E a) * 2 alpha / L^2
    Args:
        strength: [Pa] in tension.
        modulus: [Pa] of elasticity.
        poisson: [1] ratio.
        expansion: [1/K] linear.
        diffusivity: [m2/s] of the body.
        half_thickness: [m] from face to core.
    Returns:
        [K/h]
    Source:
        Parabolic profile in an elastic slab; Kingery 1955, J. Am. Ceram. Soc. 38, 3.
    """
    face_less_core = 3 * _stretch(strength, modulus, poisson, expansion)
    return _steady_rate(face_less_core, diffusivity, half_thickness)


@in_units(
    strength="Pa",
    modulus="Pa",
    poisson="1",
    expansion="1/K",
    diffusivity="m2/s",
    half_thickness="m",
    returns="K/h",
)
def stress_fall(
    *,
    strength: Any,
    modulus: Any,
    poisson: Any,
    expansion: Any,
    diffusivity: Any,
    half_thickness: Any,
) -> Any:
    """The fall at which the faces of a slab are pulled as hard as they stand.

    Formula:
        r = 3 s (1 - nu)/(2 E a) * 2 alpha / L^2
    Args:
        strength: [Pa] in tension.
        modulus: [Pa] of elasticity.
        poisson: [1] ratio.
        expansion: [1/K] linear.
        diffusivity: [m2/s] of the body.
        half_thickness: [m] from face to core.
    Returns:
        [K/h]
    Source:
        Parabolic profile in an elastic slab; Kingery 1955, J. Am. Ceram. Soc. 38, 3.
    """
    core_less_face = 3 / 2 * _stretch(strength, modulus, poisson, expansion)
    return _steady_rate(core_less_face, diffusivity, half_thickness)


def _stretch(strength: Any, modulus: Any, poisson: Any, expansion: Any) -> Any:
    """The difference of temperature [K] that a body held at both ends just stands."""
    return strength * (1 - poisson) / (modulus * expansion)


def _steady_rate(difference: Any, diffusivity: Any, half_thickness: Any) -> Any:
    """The climb [K/h] that keeps a difference [K] between face and core of a slab."""
    return difference * 2 * diffusivity / half_thickness**2 * 3600


@in_units(temperature="degC", returns="Pa")
def steam_pressure(temperature: Any) -> Any:
    """Pressure of steam over boiling water.

    Formula:
        IAPWS-IF97, region 4: the quadratic for the saturation pressure
    Args:
        temperature: [degC] 0 to 373.
    Returns:
        [Pa]
    Raises:
        OutOfRange: a temperature lies outside 0 to 373 degC.
    Source:
        IAPWS R7-97(2012), equation 30.
    """
    if np.any((np.asarray(temperature) < 0) | (np.asarray(temperature) > 373)):
        raise OutOfRange("steam_pressure: temperature must lie within 0 to 373 degC")
    n = (
        0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
        -0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
        -0.23855557567849, 0.65017534844798e3,
    )  # fmt: skip
    kelvin = temperature + ZERO_CELSIUS
    theta = kelvin + n[8] / (kelvin - n[9])
    a = theta**2 + n[0] * theta + n[1]
    b = n[2] * theta**2 + n[3] * theta + n[4]
    c = n[5] * theta**2 + n[6] * theta + n[7]
    return (2 * c / (-b + (b**2 - 4 * a * c) ** 0.5)) ** 4 * 1e6


@in_units(
    water="1",
    density="kg/m3",
    half_thickness="m",
    conductivity="W/(m K)",
    difference="K",
    returns="s",
)
def boiling_time(
    *, water: Any, density: Any, half_thickness: Any, conductivity: Any, difference: Any
) -> Any:
    """The least time in which heat can boil the water out of a slab.

    Formula:
        t = X rho lambda L^2 / (2 k dT), lambda 2259e3 J/kg at 100 degC
    Args:
        water: [1] dry basis.
        density: [kg/m3] of the dry brick.
        half_thickness: [m] from face to core.
        conductivity: [W/(m K)] of the dry shell.
        difference: [K] by which the faces are hotter than boiling.
    Returns:
        [s]
    Source:
        Heat through a growing dry shell; lambda = 2500 - 2.41 T kJ/kg, Zi 10/2012, eq. 18.
    """
    latent = (2500 - 2.41 * 100) * 1e3
    return water * density * latent * half_thickness**2 / (2 * conductivity * difference)


@frozen
class Allowed:
    """A rate that is allowed, the rule that sets it, and what each rule alone would allow."""

    rate: float
    """K/h; infinite where no rule limits it."""
    limited_by: str
    """steam, stress, quartz, the maker, or nothing."""
    rules: dict[str, float]
    source: str


SOURCES = {
    "steam": "a wet core must not pass 100 to 120 degC: saturation pressure (IAPWS); "
    "25 K/h below 150 degC is from memory",
    "stress": GREEN.source,
    "quartz": "50 K/h through quartz: Fortuna 2000 for cooling, common practice for heating",
    "the maker": "set by the maker",
    "nothing": "",
}


def _least(rules: dict[str, float]) -> Allowed:
    name = min(rules, key=lambda n: rules[n]) if rules else "nothing"
    rate = rules.get(name, float("inf"))
    if not np.isfinite(rate):
        name = "nothing"
    return Allowed(rate, name, rules, SOURCES[name])


def _steam_integral(start: float, end: float) -> float:
    """Integral over temperature [K] of the saturation pressure over that of 100 degC."""
    temperatures = np.linspace(start, end, 60)
    ratio = steam_pressure.plain(temperatures) / steam_pressure.plain(100.0)
    return float(((ratio[1:] + ratio[:-1]) / 2 * np.diff(temperatures)).sum())


def steam_climb(
    brick: Brick, core: float, water: float, parameters: Parameters = PARAMETERS
) -> float:
    """The climb [K/h] at which the core is dry by the time it reaches 110 degC.

    Args:
        brick: the thickest and wettest.
        core: degC, its upper bound.
        water: % of dry mass left at the core, its upper bound.
        parameters: ranges; the slow drying time is used.
    """
    if water <= STEAM_DRY:
        return float("inf")
    if core >= STEAM_CEILING:
        return 0.0
    hours = float(drying_times(brick, parameters)[0]) * np.log(water / STEAM_DRY)
    dried = _steam_integral(max(core, 0.0), STEAM_CEILING) / hours
    practice = STEAM_PRACTICE * min((STEAM_PRACTICE_THICKNESS / brick.thickness) ** 2, 1.0)
    return float(min(max(dried, SLOWEST), practice))


def stress_rate(
    brick: Brick, strength: Strength, parameters: Parameters = PARAMETERS, *, falling: bool = False
) -> float:
    """The climb, or the fall, that the stress rule allows a brick [K/h]."""
    rule = stress_fall if falling else stress_climb
    alpha = parameters.fired_diffusivity if falling else parameters.green_diffusivity
    return float(
        rule.plain(
            strength=strength.strength,
            modulus=strength.modulus,
            poisson=strength.poisson,
            expansion=strength.expansion,
            diffusivity=alpha[1] / brick.factor,
            half_thickness=brick.thickness / 2,
        )
    )


def _through_quartz(face: tuple[float, float, float], core: tuple[float, float, float]) -> bool:
    low, high = QUARTZ_ZONE
    return min(face[0], core[0]) <= high and max(face[2], core[2]) >= low


def allowed_climb(
    state: PlaceState,
    brick: Brick,
    *,
    strength: Strength = GREEN,
    parameters: Parameters = PARAMETERS,
    learnt: float = 1.0,
    greatest: float | None = None,
) -> Allowed:
    """The climb allowed now [K/h] at a place: the least of steam, stress and quartz.

    Args:
        state: of the place.
        brick: the thickest and wettest there.
        strength: of the brick as it is heated.
        parameters: ranges of the march.
        learnt: factor from earlier batches, on the stress rule alone.
        greatest: what the maker set, K/h.
    """
    face, core = state.now("face"), state.now("core")
    rules = {
        "steam": steam_climb(brick, core[2], state.now("free_water_left")[2], parameters),
        "stress": learnt * stress_rate(brick, strength, parameters),
    }
    if _through_quartz(face, core):
        rules["quartz"] = QUARTZ_RATE
    if greatest is not None:
        rules["the maker"] = greatest
    return _least(rules)


def allowed_fall(
    state: PlaceState,
    brick: Brick,
    *,
    strength: Strength = FIRED,
    parameters: Parameters = PARAMETERS,
    learnt: float = 1.0,
) -> Allowed:
    """The fall allowed now [K/h], above zero: the stress rule, and 50 K/h through quartz."""
    rules = {"stress": learnt * stress_rate(brick, strength, parameters, falling=True)}
    if _through_quartz(state.now("face"), state.now("core")):
        rules["quartz"] = QUARTZ_RATE
    return _least(rules)
