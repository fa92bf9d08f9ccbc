"""The brick in the kiln, as the march sees it, and the ranges of what nobody knows of it."""

from typing import NamedTuple

import numpy as np

from fieldbook.calc import kinetics
from fieldbook.calc.conduction import box_factor
from fieldbook.calc.march import Body
from fieldbook.calc.properties import DRY_DENSITY, FIRED_DIFFUSIVITY, GREEN_DIFFUSIVITY
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

Three = tuple[float, float, float]

# J per kg of water in a brick at 25 degC that leaves as steam; iapws, 25 degC to 100.5 degC.
STEAM_HEAT = 2572e3
# Clausius-Clapeyron with 41.5 kJ/mol; within 3 % of the steam tables from 60 to 150 degC.
STEAM_ACTIVATION = 5000.0
BOILING = 373.15
# Heat of illite by its water, at the heat kaolinite takes per kg of water; from memory.
ILLITE_HEAT = tuple(
    h / kinetics.WATER_OF_KAOLINITE * kinetics.WATER_OF_ILLITE for h in (540e3, 800e3, 1100e3)
)


@frozen
class Brick:
    """The thickest and wettest brick of a place.

    Args:
        length: m.
        width: m.
        height: m.
        bench: thickness of bricks set tight together, m; None where each stands loose.
        free_water: fraction of dry mass at the start, low, middle, high.
        kaolinite: fraction of dry mass, low, middle, high.
        illite: fraction of dry mass.
        carbonate: calcite, fraction of dry mass.
        carbon: organic carbon, fraction of dry mass.
        density: kg/m3 dry.
    """

    length: float
    width: float
    height: float
    bench: float | None = None
    free_water: Three = (0.01, 0.03, 0.06)
    kaolinite: Three = (0.10, 0.20, 0.35)
    illite: Three = (0.10, 0.20, 0.35)
    carbonate: Three = (0.0, 0.0, 0.03)
    carbon: Three = (0.001, 0.003, 0.010)
    density: Three = (DRY_DENSITY.low, DRY_DENSITY.middle, DRY_DENSITY.high)

    def __post_init__(self) -> None:
        if min(self.length, self.width, self.height) <= 0 or (self.bench or 1) <= 0:
            raise NotPossible("each side of a brick must be above zero")
        for name in ("free_water", "kaolinite", "illite", "carbonate", "carbon", "density"):
            low, middle, high = getattr(self, name)
            if not 0 <= low <= middle <= high:
                raise NotPossible(f"{name} must run from low to high, none below zero")

    @property
    def sides(self) -> Three:
        """The three sides, least first, m."""
        a, b, c = sorted((self.length, self.width, self.height))
        return a, b, c

    @property
    def thickness(self) -> float:
        """What heat has to cross from both sides, m: the bench, or the least side."""
        return self.bench if self.bench else self.sides[0]

    @property
    def factor(self) -> float:
        """How much less the core lags than that of a slab of the same thickness."""
        return 1.0 if self.bench else box_factor(*self.sides)

    @property
    def exposure(self) -> float:
        """Face of the brick over that of the slab that stands for it, per volume."""
        a, b, c = self.sides
        return 1.0 if self.bench else 1 + a / b + a / c


class Parameters(NamedTuple):
    """What the three sets differ in, each (slow, middle, fast): slow keeps the core coldest."""

    green_diffusivity: Three
    fired_diffusivity: Three
    convection: Three
    emissivity: Three
    drying_time: Three
    oxygen: Three
    oxygen_diffusivity: Three
    char_share: Three
    heat_work_energy: Three
    carbon_dioxide: Three


PARAMETERS = Parameters(
    green_diffusivity=GREEN_DIFFUSIVITY[:3],
    fired_diffusivity=FIRED_DIFFUSIVITY[:3],
    convection=(15.0, 27.0, 50.0),  # W/(m2 K), from memory
    emissivity=(0.3, 0.6, 0.9),  # from memory
    drying_time=(2.0, 0.7, 0.25),  # h at 100 degC through 35 mm, from memory
    oxygen=(0.05, 0.10, 0.15),  # of the gas while wood burns, from memory
    oxygen_diffusivity=(3e-6, 1e-5, 3e-5),  # m2/s in the pores, from memory
    char_share=(0.4, 0.3, 0.2),  # of the organic carbon, from memory
    heat_work_energy=(200e3, 400e3, 600e3),  # J/mol, the honest band of published values
    carbon_dioxide=(0.15, 0.10, 0.05),  # atm of wood gas
)


def drying_times(brick: Brick, parameters: Parameters = PARAMETERS) -> np.ndarray:
    """Hours in which free water falls to 1/e at 100 degC, (slow, middle, fast)."""
    return np.array(parameters.drying_time) * (brick.thickness / 0.070) ** 2


def body_of(brick: Brick, parameters: Parameters, probe: str) -> Body:
    """The arrays of the march for one brick at one place: (1, set)."""
    ones = np.ones((1, 3))
    slow_first = np.array([2, 1, 0])
    water = np.array(brick.free_water)[slow_first]
    kaolinite = np.array(brick.kaolinite)[slow_first]
    illite = np.array(brick.illite)[slow_first]
    first = [kinetics.KAOLINITE_LATE, kinetics.KAOLINITE, kinetics.KAOLINITE_EARLY]
    second = [kinetics.ILLITE_LATE, kinetics.ILLITE, kinetics.ILLITE_EARLY]
    steam = STEAM_ACTIVATION / BOILING - np.log(drying_times(brick, parameters) * 3600)
    heat = [
        water * STEAM_HEAT,
        kaolinite * np.array(kinetics.KAOLINITE_HEAT)[slow_first],
        illite * np.array(ILLITE_HEAT)[slow_first],
    ]
    ln_frequency = [steam, [r.ln_frequency for r in first], [r.ln_frequency for r in second]]
    energy = [[r.activation_energy for r in rs] for rs in (first, second)]
    activation = [
        [STEAM_ACTIVATION] * 3,
        *[[e / kinetics.GAS_CONSTANT for e in row] for row in energy],
    ]
    lime = kinetics.LIMESTONE
    return Body(
        half_thickness=ones * brick.thickness / 2,
        green_diffusivity=np.array([parameters.green_diffusivity]) / brick.factor,
        fired_diffusivity=np.array([parameters.fired_diffusivity]) / brick.factor,
        density=np.array([brick.density])[:, slow_first],
        exposure=ones * brick.exposure,
        convection=np.array([parameters.convection]),
        emissivity=np.array([parameters.emissivity]),
        gas=ones * (probe == "gas"),
        ln_frequency=np.array(ln_frequency)[:, None, :],
        activation=np.array(activation)[:, None, :],
        heat=np.array(heat)[:, None, :],
        carbonate_ln_frequency=ones * lime.ln_frequency,
        carbonate_activation=ones * lime.activation_energy / kinetics.GAS_CONSTANT,
        carbonate_heat=np.array([brick.carbonate])[:, slow_first] * kinetics.CALCITE_HEAT,
        carbonate_gas=np.array([parameters.carbon_dioxide]),
        sign=np.array([[-1.0, 0.0, 1.0]]),
    )


def cells_for(brick: Brick) -> int:
    """Cells from core to face that keep the march within 0.1 K of a much finer one."""
    return 32 if brick.thickness <= 0.1 else 64


def bound_water(brick: Brick) -> np.ndarray:
    """Bound water of kaolinite and illite, fraction of dry mass: (mineral, set), slow first."""
    return np.array(
        [
            np.array(brick.kaolinite)[::-1] * kinetics.WATER_OF_KAOLINITE,
            np.array(brick.illite)[::-1] * kinetics.WATER_OF_ILLITE,
        ]
    )
