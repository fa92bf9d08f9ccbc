"""Where the heat of the fuel goes: ware, water, reactions, kiln, walls, flue, unburnt."""

from typing import Any

from fieldbook.calc.air import MOLAR, WOOD, Fuel, flue_loss, gas_enthalpy
from fieldbook.calc.brick import Brick
from fieldbook.calc.kinetics import (
    CALCITE_HEAT,
    CO2_OF_CALCITE,
    KAOLINITE_HEAT,
    WATER_OF_ILLITE,
    WATER_OF_KAOLINITE,
)
from fieldbook.calc.properties import heat_content
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.frozen import frozen
from fieldbook.quantities import in_units

VAPORISATION = 2442.0  # kJ/kg at 25 degC, IAPWS
UNBURNT = 0.03  # of the fuel, common practice, from memory


@in_units(temperature="degC", returns="kJ/kg")
def steam_heat(temperature: Any) -> Any:
    """Heat that turns water of 25 degC into steam that leaves at a temperature.

    Formula:
        2442 + [H(T) - H(25 degC)] of steam
    Args:
        temperature: [degC] of the steam as it leaves, 25 to 1000.
    Returns:
        [kJ/kg]
    Raises:
        OutOfRange: the temperature lies outside 25 to 1000 degC.
    Source:
        Vaporisation from IAPWS, steam from the Shomate equation of the NIST Chemistry WebBook.
    """
    if not 25 <= temperature <= 1000:
        raise OutOfRange("steam_heat: the temperature must lie within 25 to 1000 degC")
    rise = gas_enthalpy("H2O", temperature + 273.15) - gas_enthalpy("H2O", 298.15)
    return VAPORISATION + rise / MOLAR["H2O"]


@frozen
class Load:
    """What stands in the kiln."""

    dry_mass: float
    """kg, all bricks."""
    moisture: float
    """fraction of dry mass."""
    kaolinite: float = 0.20
    illite: float = 0.20
    carbonate: float = 0.0
    other_loss: float = 0.01
    """fraction of dry mass that burns or leaves besides."""

    @property
    def ignition_loss(self) -> float:
        """Fraction of dry mass."""
        return (
            self.kaolinite * WATER_OF_KAOLINITE
            + self.illite * WATER_OF_ILLITE
            + self.carbonate * CO2_OF_CALCITE
            + self.other_loss
        )

    @property
    def fired_mass(self) -> float:
        """kg."""
        return self.dry_mass * (1 - self.ignition_loss)


@frozen
class Balance:
    """Heat by term, MJ; the terms add up to what the fuel gives."""

    terms: dict[str, float]

    @property
    def total(self) -> float:
        """MJ of fuel."""
        return sum(self.terms.values())

    @property
    def useful(self) -> float:
        """Ware, free water and reactions, MJ."""
        return sum(self.terms.get(name, 0.0) for name in ("ware", "free water", "reactions"))

    @property
    def efficiency(self) -> float:
        """Useful heat over the fuel's."""
        return self.useful / self.total

    @property
    def shares(self) -> dict[str, float]:
        """% of the fuel, by term."""
        return {name: 100 * heat / self.total for name, heat in self.terms.items()}


def useful_heat(
    load: Load, peak: float, leaves: float = 300.0, kaolinite_heat: float = KAOLINITE_HEAT[1]
) -> dict[str, float]:
    """Heat [MJ] that ware, free water and reactions take up to a peak [degC].

    Args:
        load: what stands in the kiln.
        peak: degC, mean of the ware.
        leaves: degC of the steam as it leaves.
        kaolinite_heat: J per kg of kaolinite; illite takes the same per kg of water.
    """
    if peak > 1100:
        ware = float(heat_content.plain(1100.0)) + (peak - 1100) * 1250.0
    else:
        ware = float(heat_content.plain(max(peak, 25.0)))
    illite_heat = kaolinite_heat / WATER_OF_KAOLINITE * WATER_OF_ILLITE
    reactions = (
        load.kaolinite * kaolinite_heat + load.illite * illite_heat + load.carbonate * CALCITE_HEAT
    )
    return {
        "ware": load.fired_mass * ware / 1e6,
        "free water": load.dry_mass * load.moisture * float(steam_heat.plain(leaves)) / 1e3,
        "reactions": load.dry_mass * reactions / 1e6,
    }


def heat_needed(
    useful: dict[str, float], kiln: float, walls: float, flue_share: float, unburnt: float = UNBURNT
) -> Balance:
    """The whole balance, from what ware and kiln take and the shares that leave.

    Args:
        useful: MJ by term.
        kiln: MJ that the mass of the kiln takes up.
        walls: MJ that leave through the walls.
        flue_share: of the fuel, leaves with the gas.
        unburnt: of the fuel.
    """
    rest = 1 - flue_share - unburnt
    if rest <= 0.02:
        raise NotPossible("the gas carries away all the heat: less air, or drier wood")
    total = (sum(useful.values()) + kiln + walls) / rest
    return Balance(
        {
            **useful,
            "kiln": kiln,
            "walls": walls,
            "flue": total * flue_share,
            "unburnt": total * unburnt,
        }
    )


def found_balance(
    fuel: float, useful: dict[str, float], kiln: float, walls: float, unburnt: float = UNBURNT
) -> Balance:
    """After a firing: what the fuel put on gave [MJ], the flue being what is left over."""
    flue = fuel * (1 - unburnt) - sum(useful.values()) - kiln - walls
    if flue < 0:
        raise NotPossible(
            "the ware and the kiln took more heat than the fuel gave: fuel is missing from the log"
        )
    return Balance(
        {**useful, "kiln": kiln, "walls": walls, "flue": flue, "unburnt": fuel * unburnt}
    )


def kiln_heat(mass: float, mean: float) -> float:
    """Heat [MJ] in the mass of the kiln at its mean temperature [degC]."""
    return mass * float(heat_content.plain(min(max(mean, 25.0), 1100.0))) / 1e6


def wall_loss(area: float, flux: float, hours: float) -> float:
    """Heat [MJ] through walls: m2, W/m2, h."""
    return area * flux * hours * 3600 / 1e6


def usual_flue_share(peak: float, moisture: float, ratio: float, fuel: Fuel = WOOD) -> float:
    """Share of the heat that leaves with the gas, which leaves at about 0.63 of the peak.

    Source: the 600 degC for a peak of 950 of a constructed balance; common practice measures it.
    """
    return flue_loss(0.63 * peak, moisture, ratio, fuel)


def load_of(brick: Brick, count: int, dry_mass: float) -> Load:
    """A load of equal bricks, at the middle of what is known of them."""
    return Load(
        dry_mass=count * dry_mass,
        moisture=brick.free_water[1],
        kaolinite=brick.kaolinite[1],
        illite=brick.illite[1],
        carbonate=brick.carbonate[1],
        other_loss=0.01 + brick.carbon[1],
    )
