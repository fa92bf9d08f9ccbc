"""Field tests of a clay: jar, thread, ribbon, coil, fizz."""

from typing import Any, NamedTuple

from fieldbook.calc.refusal import Value, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import nominal, sqrt
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import in_units
from fieldbook.tables import load

GRAVITY = 9.80665
"""[m/s**2] Standard gravity, exact by convention."""

GRAIN_DENSITY, WATER_DENSITY, WATER_VISCOSITY = 2650.0, 998.2, 1.002e-3
"""[kg/m**3, kg/m**3, Pa s] Quartz and clay grains, common practice; water at 20 degC, CRC tables,
from memory."""


class Range(NamedTuple):
    """What a field test can tell: from low to high, and who says so."""

    low: float
    high: float
    source: str


class Texture(NamedTuple):
    """A class of the texture triangle; `from_memory` where its limits are not confirmed."""

    name: str
    source: str
    from_memory: bool


class Fractions(NamedTuple):
    """Sand, silt and clay, per cent of what settled; clay reads high, its layer being swollen."""

    sand: Value
    silt: Value
    clay: Value


@in_units(sand="mm", silt="mm", clay="mm", returns=("%", "%", "%"))
def jar_fractions(sand: Value, silt: Value, clay: Value) -> Fractions:
    """Sand, silt and clay from the layers in a jar.

    A fresh clay layer is swollen, so clay reads high and the others low (from memory).

    Formula:
        share = 100 layer / (sand + silt + clay)
    Args:
        sand: [mm] depth of the sand layer.
        silt: [mm] depth of the silt layer.
        clay: [mm] depth of the clay layer.
    Returns:
        [%] each, by depth.
    Raises:
        NotPossible: a layer is negative, or nothing settled.
    Source:
        Montana State University Extension, 2021.
    Example:
        >>> jar_fractions.plain(15.0, 20.0, 15.0)
        Fractions(sand=30.0, silt=40.0, clay=30.0)
    """
    refuse_if(
        negative(sand, silt, clay),
        "a layer cannot be less than nothing",
    )
    total = sand + silt + clay
    refuse_if(not_positive(total), "nothing has settled in the jar")
    return Fractions(100 * sand / total, 100 * silt / total, 100 * clay / total)


@in_units(
    diameter="m",
    grain="kg/m**3",
    liquid="kg/m**3",
    viscosity="Pa*s",
    gravity="m/s**2",
    returns="m/s",
)
def settling_speed(
    diameter: Value,
    grain: Value = GRAIN_DENSITY,
    liquid: Value = WATER_DENSITY,
    viscosity: Value = WATER_VISCOSITY,
    gravity: Value = GRAVITY,
) -> Value:
    """Speed at which a grain sinks in still water, by Stokes.

    Formula:
        v = (rho_s - rho_w) g d^2 / (18 mu)
    Args:
        diameter: [m] of the grain.
        grain: [kg/m**3] density of the grain.
        liquid: [kg/m**3] density of the water.
        viscosity: [Pa*s] of the water.
        gravity: [m/s**2]
    Returns:
        [m/s]
    Raises:
        OutOfRange: finer than 0.2 micrometres, or so coarse that Stokes does not hold
            (a Reynolds number above 1).
    Source:
        Stokes; limits as in a published soil mechanics exercise; upper limit common practice.
    Example:
        >>> print(f"{100 * settling_speed.plain(5e-5, 2670.0, 1000.0, 1e-3, 9.81):.4f} cm/s")
        0.2275 cm/s
    """
    refuse_outside(nominal(diameter) < 0.2e-6, "Stokes does not hold below 0.2 micrometres")
    refuse_if(nominal(grain) <= nominal(liquid), "a grain no heavier than the water does not sink")
    speed = (grain - liquid) * gravity * diameter**2 / (18 * viscosity)
    refuse_outside(
        nominal(speed) * nominal(diameter) * nominal(liquid) / nominal(viscosity) > 1,
        "Stokes does not hold: too coarse",
    )
    return speed


@in_units(time="s", depth="m", grain="kg/m**3", liquid="kg/m**3", viscosity="Pa*s", returns="m")
def coarsest_still_floating(
    time: Value,
    depth: Value,
    grain: Value = GRAIN_DENSITY,
    liquid: Value = WATER_DENSITY,
    viscosity: Value = WATER_VISCOSITY,
) -> Value:
    """Grain size that has just cleared the jar: what is finer is booked with the next layer.

    Formula:
        d = sqrt(18 mu h / ((rho_s - rho_w) g t))
    Args:
        time: [s] since the jar was set down.
        depth: [m] of the fall.
        grain: [kg/m**3] density of the grain.
        liquid: [kg/m**3] density of the water.
        viscosity: [Pa*s] of the water.
    Returns:
        [m]
    Raises:
        NotPossible: no time or no depth.
    Source:
        Stokes, solved for the size.
    Example:
        >>> print(f"{1e6 * coarsest_still_floating.plain(7200.0, 0.10):.1f} micrometres")
        3.9 micrometres
    """
    refuse_if(not_positive(time, depth), "settling needs a time and a depth")
    refuse_if(nominal(grain) <= nominal(liquid), "a grain no heavier than the water does not sink")
    return sqrt(18 * viscosity * depth / ((grain - liquid) * GRAVITY * time))


def texture_class(sand: float, silt: float, clay: float) -> Texture:
    """Class of the texture triangle.

    Formula:
        the first class of the table whose limits hold
    Raises:
        NotPossible: a share below zero, or shares that do not add up to 100 %.
    Source:
        Soil Science Society of America, glossary (five classes); USDA triangle, from memory.
    Example:
        >>> texture_class(sand=30, silt=40, clay=30).name
        'clay loam'
    """
    shares = (float(nominal(sand)), float(nominal(silt)), float(nominal(clay)))
    if min(shares) < 0 or abs(sum(shares) - 100) > 0.5:
        raise NotPossible("sand, silt and clay are parts of a whole: they add up to 100 %")
    for row in load("clay")["texture"]:
        if any(all(_holds(limit, shares) for limit in limits) for limits in row["any"]):
            return Texture(row["class"], row["source"], row.get("from_memory", False))
    raise NotPossible(f"no class of the triangle holds {shares}")


def _holds(limit: dict[str, Any], shares: tuple[float, float, float]) -> bool:
    value = sum(weight * share for weight, share in zip(limit["sum"], shares, strict=True))
    return not (
        ("at_least" in limit and value < limit["at_least"])
        or ("above" in limit and value <= limit["above"])
        or ("at_most" in limit and value > limit["at_most"])
        or ("below" in limit and value >= limit["below"])
    )


def carbonate_from_fizz(seen: str) -> Range:
    """Calcium carbonate, in per cent, from what drops of 1 M acid do; rules differ, so a range.

    Formula:
        the row of the table for what was seen
    Source:
        Kalra and Maynard 1991; European field rule of ISO 14688-1.
    Example:
        >>> carbonate_from_fizz("few bubbles")[:2]
        (1.0, 5.0)
    """
    for row in load("clay")["fizz"]:
        if row["seen"] == seen:
            return Range(row["low"], row["high"], row["source"])
    known = ", ".join(row["seen"] for row in load("clay")["fizz"])
    raise NotPossible(f"fizz is one of: {known}; not {seen}")


@in_units(thickness="mm", returns=None)
def clay_from_thread(thickness: float) -> Range:
    """Clay, in per cent by mass, from the thinnest roll that holds together.

    Formula:
        the row of the table that the thickness falls in
    Args:
        thickness: [mm] of the thinnest roll.
    Returns:
        Range in % by mass.
    Raises:
        OutOfRange: no thickness, or thicker than the table goes.
    Source:
        Lag 1979, in Berge, The Ecology of Building Materials, table 8.4.
    Example:
        >>> clay_from_thread.plain(1.25)[:2]
        (25.0, 40.0)
    """
    thin = float(nominal(thickness))
    for row in load("clay")["thread"]:
        if 0 < thin < row["thinner_than"]:
            return Range(row["low"], row["high"], row["source"])
    raise OutOfRange("a thread between 0 and 6 mm tells the clay content; thicker: under 2 % clay")


@in_units(length="mm", returns=None)
def texture_from_ribbon(length: float) -> list[tuple[tuple[str, ...], str]]:
    """Texture classes that a ribbon of this length stands for, each with its source.

    Formula:
        every row of the table that holds the length
    Args:
        length: [mm] at which the ribbon breaks, mean of several.
    Returns:
        Pairs of classes and source; authorities overlap.
    Raises:
        OutOfRange: a negative length.
    Source:
        Agriculture Victoria, table 1; Colorado State University Extension.
    Example:
        >>> [classes for classes, source in texture_from_ribbon.plain(30.0)]
        [('sandy clay loam', 'silty clay loam', 'clay loam')]
    """
    long = float(nominal(length))
    if long < 0:
        raise OutOfRange("a ribbon has a length of zero or more")
    return [
        (tuple(row["classes"]), row["source"])
        for row in load("clay")["ribbon"]
        if row["low"] < long <= row["high"] or long == row["low"] == row["high"]
    ]


@in_units(length="mm", returns=None)
def coil_says(length: float) -> str:
    """What the piece says that breaks off a 10 mm roll held by one end.

    Formula:
        below 50 mm too sandy, 50 to 150 mm brick soil, above 150 mm too much clay
    Args:
        length: [mm] of the piece that broke off.
    Returns:
        "too sandy", "brick soil" or "too fat".
    Raises:
        OutOfRange: a negative length.
    Source:
        FAO, Farm structures in tropical climates, chapter 3.
    Example:
        >>> [coil_says.plain(x) for x in (30.0, 50.0, 150.0, 180.0)]
        ['too sandy', 'brick soil', 'brick soil', 'too fat']
    """
    long = float(nominal(length))
    if long < 0:
        raise OutOfRange("a length cannot be negative")
    row = next(row for row in load("clay")["coil"] if row["use"] == "fired brick")
    if long < row["low"]:
        return "too sandy"
    return "brick soil" if long <= row["high"] else "too fat"
