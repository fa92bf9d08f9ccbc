"""Frozen classes behave as `dataclass(frozen=True)` makes them, and pack as plain objects do."""

import pickle
from dataclasses import FrozenInstanceError, dataclass, field, fields, replace
from functools import cached_property

import pytest

from fieldbook.frozen import frozen


@frozen
class Point:
    """A point."""

    x: int
    y: int = 0
    tags: tuple[str, ...] = field(default_factory=tuple, repr=False, compare=False)

    @cached_property
    def far(self) -> int:
        return self.x**2 + self.y**2


@frozen(kw_only=True)
class Named:
    """A point by name."""

    name: str


@frozen(kw_only=True)
class Marked(Named):
    """One with a mark."""

    mark: str = ""


@dataclass(frozen=True)
class Model:
    """What the library makes of the same."""

    x: int
    y: int = 0
    tags: tuple[str, ...] = field(default_factory=tuple, repr=False, compare=False)


def test_it_is_made_shown_compared_and_hashed_as_the_library_does():
    assert repr(Point(1, 2, ("a",))) == repr(Model(1, 2, ("a",))).replace("Model", "Point")
    assert Point(1, 2, ("a",)) == Point(1, 2, ("b",)) != Point(1, 3)
    assert len({Point(1), Point(1), Point(2)}) == 2
    assert Point(1) != Model(1)
    assert [each.name for each in fields(Point)] == [each.name for each in fields(Model)]


def test_nothing_on_it_is_changed_or_taken_away():
    point = Point(1)
    with pytest.raises(FrozenInstanceError):
        point.x = 2
    with pytest.raises(FrozenInstanceError):
        del point.x
    assert point == Point(1)
    assert replace(point, y=5) == Point(1, 5)


def test_what_it_works_out_once_is_no_part_of_it():
    near, same = Point(3, 4), Point(3, 4)
    assert near.far == 25
    assert near == same and hash(near) == hash(same)


def test_one_class_builds_on_another():
    assert Marked(name="a", mark="b") == Marked(name="a", mark="b") != Marked(name="a")
    assert Marked(name="a") != Named(name="a")
    with pytest.raises(TypeError):
        Named("a")


def test_it_packs_and_unpacks_and_stays_frozen():
    again = pickle.loads(pickle.dumps(Point(1, 2)))
    assert again == Point(1, 2)
    with pytest.raises(FrozenInstanceError):
        again.y = 1
