"""The readings of one brick of a test, and what among them cannot be right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, reading
from fieldbook.advice.review import Review
from fieldbook.calc.uncertainty import expanded
from fieldbook.frozen import frozen
from fieldbook.records import Specimen, Test

WORDS = {
    "dry_mass": "dry mass",
    "soaked_mass": "mass after the cold soak",
    "boiled_mass": "mass after the boil",
    "minute_mass": "mass after one minute in water",
    "suspended_mass": "mass hung in water",
    "span": "span",
    "bending_load": "load that broke it",
    "break_offset": "distance of the break from midspan",
    "crushing_load": "load that crushed it",
    "crushed_length": "length under load",
    "cores": "area of its holes",
    "length": "length",
    "width": "width",
    "height": "height",
}
"""What each reading is called."""

SWAPPED = "Weigh it again, or see whether two bricks or two columns changed places."


@frozen
class Brick:
    """One specimen with its readings as numbers; what contradicts itself is left out."""

    name: str
    specimen: Specimen
    readings: dict[str, Known]
    where: str
    """File and line of the specimen."""
    wrong: frozenset[str] = frozenset()
    """Readings that contradict another one."""

    def __getitem__(self, field: str) -> Known:
        """One reading, known or not, by its field."""
        return self.readings[field]

    def take(self, *fields: str) -> tuple[Known, ...]:
        """Readings for one formula; none of them where they contradict each other."""
        if len(self.wrong.intersection(fields)) > 1:
            return tuple(missing() for _ in fields)
        return tuple(self.readings[field] for field in fields)

    @property
    def suspended_after(self) -> str:
        """What it was saturated by when it was hung: the boil where there was one."""
        boiled = self.readings["boiled_mass"].there
        return self.specimen.suspended_after or ("boil" if boiled else "soak")

    @property
    def saturated(self) -> str:
        """The field of the saturated mass that goes with the hung one."""
        return "boiled_mass" if self.suspended_after == "boil" else "soaked_mass"

    @property
    def sides(self) -> tuple[str, str, str]:
        """Of a brick as it lay: the fields of its length, of its breadth and of its depth."""
        return ("length", "height", "width") if self.on_edge else ("length", "width", "height")

    @property
    def on_edge(self) -> bool:
        """Whether it lay on its edge."""
        return self.specimen.laid == "on edge"


def bricks_of(test: Test, review: Review, context: Context) -> dict[str, Brick]:
    """All specimens, contradictions among their readings pointed out once."""
    return {
        name: _checked(
            Brick(
                name,
                specimen,
                _numbers(name, specimen, context),
                test.where(f"specimens.{name}"),
            ),
            review,
        )
        for name, specimen in test.specimens.items()
    }


def _numbers(name: str, specimen: Specimen, context: Context) -> dict[str, Known]:
    return {
        field: reading(context, getattr(specimen, field), f"{words} of brick {name}", field)
        for field, words in WORDS.items()
    }


class Slip(NamedTuple):
    """Two readings that cannot both be right."""

    fields: tuple[str, str]
    what: str
    remedy: str = SWAPPED
    drop: bool = False
    """Whether nothing at all is derived from the first of them."""


def _checked(brick: Brick, review: Review) -> Brick:
    name, numbers, wrong = brick.name, brick.readings, set[str]()
    for slip in (*_slips_of_mass(brick), *_slips_of_size(brick)):
        first, second = (numbers[field] for field in slip.fields)
        texts = f"({_label(slip.fields[0])} {first.text}, {_label(slip.fields[1])} {second.text})"
        review.question_at(first.where, f"brick {name}: {slip.what} {texts}", slip.remedy)
        wrong.update(slip.fields)
        if slip.drop:
            numbers = {**numbers, slip.fields[0]: first._replace(number=None, needs=())}
    for field in _not_above_zero(numbers):
        part = numbers[field]
        what = f"brick {name}: {_label(field)} is {part.text}, and must be greater than zero"
        review.question_at(part.where, what, "Measure it again.")
        numbers = {**numbers, field: part._replace(number=None, needs=(field,))}
    return replace(brick, readings=numbers, wrong=frozenset(wrong))


def _label(field: str) -> str:
    return field.replace("_", " ")


def _not_above_zero(numbers: dict[str, Known]) -> Iterator[str]:
    may_be_nothing = ("break_offset", "cores")
    for field, part in numbers.items():
        if part.there and (part.value < 0 or (part.value == 0 and field not in may_be_nothing)):
            yield field


def _slips_of_mass(brick: Brick) -> Iterator[Slip]:
    def less(one: str, other: str) -> bool:
        first, second = brick[one], brick[other]
        return first.there and second.there and first.value < second.value

    if less("soaked_mass", "dry_mass"):
        yield Slip(("soaked_mass", "dry_mass"), "soaked lighter than dry")
    if less("boiled_mass", "dry_mass"):
        yield Slip(("boiled_mass", "dry_mass"), "boiled lighter than dry")
    elif less("boiled_mass", "soaked_mass"):
        what = "boiled lighter than soaked: its saturation coefficient would be above 1"
        yield Slip(("boiled_mass", "soaked_mass"), what)
    if less("minute_mass", "dry_mass"):
        yield Slip(("minute_mass", "dry_mass"), "lighter after a minute in water than dry")
    if less(brick.saturated, "suspended_mass"):
        what = "heavier hung in water than saturated in air"
        yield Slip(("suspended_mass", brick.saturated), what)
    elif less("dry_mass", "suspended_mass"):
        what = "heavier hung in water than dry in air, yet it sinks"
        yield Slip(("suspended_mass", "dry_mass"), what)


def _slips_of_size(brick: Brick) -> Iterator[Slip]:
    def known(*fields: str) -> bool:
        return all(brick[field].there for field in fields)

    if known("length", "width") and brick["width"].value > brick["length"].value:
        yield Slip(("width", "length"), "wider than long", "See whether two sides changed places.")
    if known("crushed_length", "length") and brick["crushed_length"].value > _most(brick["length"]):
        remedy = "Write the length that lay under the plates."
        what = "more length under load than the brick has"
        yield Slip(("crushed_length", "length"), what, remedy, drop=True)
    if known("span", "length") and brick["span"].value >= brick["length"].value:
        remedy = "Measure the span between the middles of the two bearings."
        what = "the bearings stand wider apart than the brick is long"
        yield Slip(("span", "length"), what, remedy, drop=True)
    if known("break_offset", "span") and brick["break_offset"].value >= brick["span"].value / 2:
        remedy = "Measure from midspan to the break along its underside."
        what = "the break lies outside the bearings"
        yield Slip(("break_offset", "span"), what, remedy, drop=True)
    length, breadth, _ = brick.sides
    if known("cores", length, breadth):
        bed = brick[length].value * brick[breadth].value
        if brick["cores"].value >= bed:
            what = f"its holes cover more than the {bed * 1e4:.0f} cm² of its bed by its sides"
            remedy = "Write the area of the holes alone, all of them."
            yield Slip(("cores", length), what, remedy, drop=True)


def _most(part: Known) -> float:
    return part.value + expanded(part.number)
