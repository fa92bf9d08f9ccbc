"""Setting bricks in the kiln: gaps, the wettest where heat comes last, marks, cones, counts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import phase_of
from fieldbook.advice.fire import batches_in, kiln_of, planned, spots
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import bricks, percent
from fieldbook.records import Firing

LEFEVRE = "Lefevre, Architectural Pottery, 1900: a finger's breadth between bricks, rows crossed"
DAVIS = "Davis, Practical Treatise on the Manufacture of Brick: Setting"
SKIN = "the skin of a clamp stays soft: Davis; Obeng and Boadi 2001"
FINGER, NARROW = 0.020, 0.012
"""m: a finger, and the least gap that still lets flame through; common practice."""


def setting(case: Case) -> bool:
    """Whether the bricks are being set: the fire is not lit, and its day is near."""
    return planned(case, within=timedelta(days=3))


@rule("leave-gaps", on=Firing, urgency=Urgency.BLOCKING, source=LEFEVRE, topic="gap")
def leave_gaps(case: Case) -> Iterator[Action]:
    """The gap between bricks is not noted, or is less than flame passes through."""
    plan = case.entry.setting
    gap = plan.gap if plan else None
    if not setting(case) or (gap and (gap.is_bound or gap.value >= NARROW)):
        return
    finger = case.say.length(FINGER)
    known = f"They stand {case.say.length(gap.value)} apart" if gap else "The gap is not noted"
    yield case.act(
        "leave-gaps",
        f"Set the bricks on edge a finger ({finger}) apart, each row across the one below.",
        f"{known}; bricks set tight heat as one thick block and trail the fire for hours.",
        numbers={"gap": [FINGER, "m"], **({"noted": [gap.value, "m"]} if gap else {})},
        log=f'fieldbook set {case.address} setting.gap="20 mm"',
        rests_on=("lag",),
        settled_by="setting.gap of a finger",
    )


@rule("wettest-last", on=Firing, urgency=Urgency.BLOCKING, source=DAVIS, topic="wettest")
def wettest_last(case: Case) -> Iterator[Action]:
    """Batches of clearly different moisture are set together: the wettest where heat comes last."""
    wet = moistures(case)
    if not setting(case) or len(wet) < 2:
        return
    (wettest, most), (driest, least) = wet[-1], wet[0]
    if most - least < 2:
        return
    yield case.act(
        "set-wettest-last",
        f"Set batch {wettest} where heat comes last, and batch {driest} next to the fire.",
        f"{wettest} is at {percent(most)} water and {driest} at {percent(least)}.",
        numbers={"wettest": [most, "%"], "driest": [least, "%"]},
        log=f"fieldbook set {case.address} load=…",
        rests_on=("moisture",),
        settled_by="the fire is lit, or moistures within 2 %",
        reason=f"{wettest} wetter than {driest}",
    )


def moistures(case: Case) -> list[tuple[str, float]]:
    """The batches of the load with their moisture [% of the dry mass], the driest first."""
    found = {}
    for load, batch in batches_in(case):
        review = case.context.review(batch.address)
        result = review.get("moisture") if review else None
        if load.moisture and not load.moisture.is_bound:
            found[batch.name] = load.moisture.value
        elif result is not None:
            found[batch.name] = max(spot.value for spot in spots(result))
    return sorted(found.items(), key=lambda pair: (pair[1], pair[0]))


@rule(
    "set-witnesses",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="three cones in a row, guide, target, guard; the coldest place decides; common practice",
    topic="witnesses",
)
def set_witnesses(case: Case) -> Iterator[Action]:
    """Bricks are being set: the witnesses go in now or never."""
    if not setting(case) or not case.entry.load:
        return
    cold, hot = ends(case)
    yield case.act(
        "set-witnesses",
        f"Put probe, cones and a marked brick at {cold} and at {hot}, and 3 draw bricks in reach.",
        "What the coldest and the hottest bricks went through is known only from where they lie.",
        numbers={"draw_bricks": [3, "bricks"], "places": [2, "places"]},
        log=": probe, cones, marked and draw bricks placed",
        settled_by="the fire is lit",
    )


def ends(case: Case) -> tuple[str, str]:
    """The coldest and the hottest place of this kiln, by its last firings or by its names."""
    for firing in reversed(list(case.context.notebook.of(Firing))):
        if firing.kiln != case.entry.kiln or phase_of(case.context, firing) != "unloaded":
            continue
        review = case.context.review(firing.address)
        tops = spots(review.get("peak") if review else None)
        if len(tops) > 1:
            tops.sort(key=lambda spot: spot.value)
            return tops[0].place, tops[-1].place
    kiln = kiln_of(case)
    places = list(kiln.places) if kiln else []
    draught = kiln.form if kiln else None
    if {"top", "bottom"} <= set(places) and draught in ("updraught", "clamp", "scove"):
        return "top", "bottom"
    return "the coldest place", "the hottest"


@rule("count-by-place", on=Firing, urgency=Urgency.BLOCKING, source=DAVIS, topic="count")
def count_by_place(case: Case) -> Iterator[Action]:
    """A load has no count, or its kiln has named places and the load names none."""
    if not setting(case):
        return
    kiln = kiln_of(case)
    places = list(kiln.places) if kiln else []
    blank = [load for load in case.entry.load if load.count is None]
    placeless = [load for load in case.entry.load if load.place is None]
    if not blank and not (placeless and len(places) > 1):
        return
    what = "how many bricks of each batch" if blank else "which bricks"
    where = f" at {', '.join(places[:3])}" if places else " at each place"
    yield case.act(
        "count",
        f"Count {what} you set{where}, and write it in the load.",
        "Without counts by place no loss can be traced, and no heat and wood reckoned.",
        numbers={"loads": [len(blank or placeless), "loads"]},
        log=f'fieldbook set {case.address} load=\'[{{ batch = "…", count = …, place = "…" }}]\'',
        rests_on=("heat_needed",),
        settled_by="count and place of each load",
    )


@rule("skin-of-soft", on=Firing, urgency=Urgency.TEACHING, source=SKIN, topic="skin")
def skin_of_soft(case: Case) -> Iterator[Action]:
    """The last firing of this kiln left soft bricks, which make the skin and the tunnels."""
    if not setting(case) or any(load.refired for load in case.entry.load):
        return
    soft, name = soft_before(case)
    if soft < 10:
        return
    yield case.act(
        "use-soft",
        f"Build the outer skin and line the tunnels with the {bricks(soft)} left soft by {name}.",
        "The skin and the tunnels spoil green bricks; soft ones gain a second fire there.",
        numbers={"soft": [soft, "bricks"]},
        log=f"fieldbook set {case.address} load+='{{ refired = \"{name}\", count = {soft} }}'",
        settled_by="refired bricks in the load",
        reason=f"soft of {name}",
    )


def soft_before(case: Case) -> tuple[int, str]:
    """Soft bricks of the last firing of this kiln that were not fired again, and its name."""
    again = {load.refired for f in case.context.notebook.of(Firing) for load in f.load}
    done = [
        firing
        for firing in case.context.notebook.of(Firing)
        if firing.kiln == case.entry.kiln
        and phase_of(case.context, firing) == "unloaded"
        and firing.name not in again
    ]
    done.sort(key=lambda firing: (firing.log[-1].at.timestamp() if firing.log else 0, firing.name))
    if not done:
        return 0, ""
    return sum(row.soft or 0 for row in done[-1].unloaded), done[-1].name
