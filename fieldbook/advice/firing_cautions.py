"""What can hurt someone at this step of a firing, and what in its record cannot be right."""

from __future__ import annotations

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_load import MOST_WATER
from fieldbook.records import FiringLine, KilnLine

GLARE = 600.0
"""degC from which a spyhole glares; common practice."""
LEANS = 0.02
"""m of lean, or its growth in the fire, that is worth standing clear of; common practice."""

MONOXIDE = (
    "Carbon monoxide is worst while air is choked and when a sealed kiln is opened: fire in the "
    "open or an open shed, never sleep beside it, never lean in."
)
BY_PHASE = {
    "planned": (
        "Ask about local burn rules and tell the neighbours; have water, a clear ring, and someone "
        "with you.",
    ),
    "lit": ("Never leave the fire; keep children and animals out of the ring.", MONOXIDE),
    "climbing": ("Never leave the fire; keep children and animals out of the ring.", MONOXIDE),
    "holding": ("Never leave the fire; keep children and animals out of the ring.", MONOXIDE),
    "sealed": (MONOXIDE,),
    "cooling": (MONOXIDE, "Never quench hot bricks or kiln: steam burns, and they crack."),
    "opened": (
        MONOXIDE,
        "Embers may still be live under the bricks; never quench them with water.",
    ),
}


def add_cautions(case: FiringCase) -> None:
    """Each caution once, at the step where it matters."""
    cautions = list(BY_PHASE.get(case.phase, ()))
    if case.phase in ("planned", "lit"):
        cautions += _of_the_kiln(case)
    hot = max((s.last.value for s in case.log.series.values()), default=0.0)
    if hot > GLARE and case.phase in ("climbing", "holding"):
        cautions.append("Shield your eyes at the spyhole: it gives off infra-red.")
    if case.phase not in ("planned", "unloaded") and _leans(case):
        cautions.append("The stack leans: stand clear of its side, it moves as it heats and cools.")
    case.review.cautions.extend(cautions)


def _of_the_kiln(case: FiringCase) -> list[str]:
    kiln = case.kiln
    if kiln is None:
        return []
    found = []
    if kiln.base == "concrete":
        found.append(
            "The kiln stands on concrete, which bursts when heated: put fired brick and dry sand "
            "between, or move it."
        )
    wet = [line for line in kiln.log if isinstance(line, KilnLine) and (line.rain or line.repaired)]
    dry = [line for line in kiln.log if isinstance(line, KilnLine) and line.dried]
    if wet and (not dry or dry[-1].at < wet[-1].at):
        found.append(
            "The kiln is new-mended or rained on: damp walls burst; dry it by a small fire."
        )
    return found


def _leans(case: FiringCase) -> bool:
    lines = (line for line in case.firing.log if isinstance(line, FiringLine))
    return any(line.lean and line.lean.value >= LEANS for line in lines)


def question_loads(case: FiringCase) -> None:
    """Point out bricks that would hold more water than clay from the mould."""
    for i, load in enumerate(case.firing.load):
        water = load.moisture
        if water is not None and not water.is_bound and water.value > MOST_WATER:
            case.review.question(
                f"load.{i + 1}.moisture",
                f"{water.text} of the dry mass is more than a brick holds fresh from the mould",
                "Write the water over the dry mass; leave it out to have it from the weighings.",
            )


IN_ORDER = ("lit", "peak", "sealed", "opened", "unloaded")
"""Events in the only order they can come in; `cooling` is said before or after sealing."""


def question_events(case: FiringCase) -> None:
    """Point out events that come before the fire was lit, or after what ends it."""
    lines = [x for x in case.firing.log if isinstance(x, FiringLine) and x.event in IN_ORDER]
    lit = next((line for line in lines if line.event == "lit"), None)
    latest: FiringLine | None = None
    for line in lines:
        if lit is not None and line.at < lit.at:
            case.review.question_at(
                line.where,
                f"{line.event} stands before the fire was lit ({lit.where}): it counts for nothing",
                "Correct the time of the one that is a slip.",
            )
            continue
        if latest is not None and _order(line) < _order(latest):
            again = line.event == "lit"
            case.review.question_at(
                line.where,
                f"{line.event} comes after {latest.event} ({latest.where})",
                "Log a second fire on a firing of its own; correct the time if it is a slip."
                if again
                else "Correct the time of the one that is a slip, or take the line out.",
            )
            continue
        latest = line


def _order(line: FiringLine) -> int:
    return IN_ORDER.index(str(line.event))


def question_readings(case: FiringCase) -> None:
    """Point out readings that no fire makes, and say that nothing is derived from them."""
    question_events(case)
    for reading, slip in case.log.doubted:
        beyond = slip.startswith(("no wood fire", "no weather"))
        off = "" if beyond else " is far off the readings around it"
        case.review.question_at(
            reading.where,
            f"{reading.text} at {reading.place}{off}: {slip}",
            "Correct the line if it is a slip; until then it stays, and the curve leaves it out.",
        )
