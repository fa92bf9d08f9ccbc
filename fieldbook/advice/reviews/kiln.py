"""What follows from a kiln and from the firings it has had."""

from __future__ import annotations

from fieldbook.advice.context import Context
from fieldbook.advice.firing_past import Learnt, Mean, learnt_of
from fieldbook.advice.kiln_walls import inside_volume, walls_of
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.records import Kiln


def fill(review: Review, context: Context) -> None:
    """Its size, and what its firings have shown: efficiency, spread, how it cools."""
    kiln = review.entry
    assert isinstance(kiln, Kiln)
    learnt = learnt_of(kiln, context)
    _add_size(review, kiln)
    _add_mean(review, learnt.efficiency, "kiln_efficiency", "%", 100.0, "heat in ware, free water "
              "and reactions over the heat of the fuel, mean of the firings")  # fmt: skip
    _add_spread(review, kiln, learnt)
    _add_mean(review, learnt.cooling, "cooling_constant", "h", 1.0, "time constant of the fall at "
              "the hottest place, mean of the firings")  # fmt: skip
    review.model = learnt
    review.facts = {
        "firings": tuple(past.firing.name for past in learnt.firings),
        "last_firing": _last(learnt),
    }


def _last(learnt: Learnt) -> str | None:
    dated = [past for past in learnt.firings if past.firing.log]
    newest = max(dated, key=lambda past: past.firing.log[-1].at, default=None)
    return newest.firing.name if newest else None


def _add_size(review: Review, kiln: Kiln) -> None:
    volume = inside_volume(kiln)
    if volume is None:
        review.add(
            Result(name="volume", value=None, unit="m³", needs=("length", "width", "height"))
        )
    else:
        review.add(
            Result(name="volume", value=volume, unit="m³", method="inside", from_=(kiln.path,))
        )
    walls = walls_of(kiln)
    if walls is not None:
        review.add(
            Result(
                name="wall_mass",
                value=walls.mass[1],
                unit="kg",
                low=walls.mass[0],
                high=walls.mass[2],
                extra={"area": walls.area, "thickness": walls.thickness},
                method="what heats up with the ware: as written, else area, thickness and density",
                from_=tuple(x.where for x in walls.inputs if x.where),
                inputs=walls.inputs,
            )
        )


def _add_mean(
    review: Review, mean: Mean | None, name: str, unit: str, scale: float, method: str
) -> None:
    if mean is None:
        review.add(Result(name=name, value=None, unit=unit, needs=("a finished firing",)))
        return
    half = mean.half * scale
    review.add(
        Result(
            name=name,
            value=mean.value * scale,
            unit=unit,
            low=max(mean.value * scale - half, 0.0),
            high=mean.value * scale + half,
            n=mean.n,
            sd=mean.sd * scale if mean.sd is not None else None,
            each={firing: value * scale for firing, value in mean.each.items()},
            method=method,
            source="the kiln's own firings",
            from_=tuple(f"firings/{firing}.toml" for firing in mean.each),
            inputs=tuple(
                Input(name.replace("_", " "), f"{value * scale:.3g} {unit}", f"firings/{f}.toml")
                for f, value in mean.each.items()
            ),
        )
    )


def _add_spread(review: Review, kiln: Kiln, learnt: Learnt) -> None:
    """As the firings showed it; as written while none has."""
    if learnt.spread is not None:
        _add_mean(
            review, learnt.spread, "spread", "K", 1.0,
            "peak at the hottest place less that at the coldest, mean of the firings",
        )  # fmt: skip
        return
    written = kiln.spread
    if written is None or written.is_bound:
        review.add(
            Result(name="spread", value=None, unit="K", needs=("spread", "a finished firing"))
        )
        return
    review.add(
        Result(
            name="spread",
            value=written.value,
            unit="K",
            plus_minus=written.half or None,
            method="as written of the kiln",
            from_=(written.where,),
            inputs=(Input("spread", written.text, written.where),),
        )
    )
