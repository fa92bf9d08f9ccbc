"""One rule of a standard held against the bricks that were tested."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cache
from typing import Any, NamedTuple, TypeAlias

from fieldbook.calc import statistics
from fieldbook.calc.rounding import round_to, same_digits
from fieldbook.calc.uncertainty import Value, expanded, nominal
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.quantities import convert

Rule: TypeAlias = Mapping[str, Any]

GIVEN_IN = {"compressive_strength": "MPa", "modulus_of_rupture": "MPa"}
"""Unit in which a property comes to the engine, where it is not that of the standard."""


@frozen
class Sample:
    """Bricks that were tested together."""

    values: Mapping[str, Mapping[str, Value]]
    """Property -> specimen -> value: MPa, %, mm, or a word; with uncertainty or without. None
    stands for a value that contradictory weighings do not give."""
    facts: Mapping[str, Any] = field(default_factory=dict)
    """What is known of the sample as a whole: soaked_for and boiled_for in hours, freeze_cycles
    that all bricks came through, sulfate_cycles, made."""

    def of(self, name: str) -> list[Value]:
        """Values of one property, in the order of the specimens."""
        return list(self.values.get(name, {}).values())


class Check(NamedTuple):
    """One rule of a grade, and whether the bricks meet it."""

    name: str
    """Property."""
    of: str
    met: bool | None
    """None: not decided."""
    text: str
    """What was found beside what is wanted; empty where the rule does not apply."""
    needs: str | None
    """What would decide it, where it is not decided."""
    from_memory: bool
    waived: str | None = None
    """Words and edition of the waiver that lifts it."""


class Found(NamedTuple):
    """A figure of the sample, ready to be held against a limit."""

    value: Value
    shown: str
    compared: float
    """Rounded, where the standard rounds before it compares."""


def check(rule: Rule, standard: Rule, sample: Sample, compare: str) -> Check:
    """Hold one rule against a sample."""
    name, of = rule.get("property", rule.get("fact", "")), rule.get("of", "each")
    memory = bool(rule.get("from_memory", False))

    def answer(met: bool | None, text: str, needs: str | None = None) -> Check:
        return Check(name, of, met, text, needs, memory)

    if "fact" in rule:
        return answer(*_check_fact(rule, sample))
    label, values = _label(name), sample.of(name)
    if lacking := _lacking(name, values, standard, sample):
        return answer(None, *lacking)
    table = standard["properties"][name]
    if "when" in rule and not _applies(rule["when"], values):
        return answer(True, "")
    found = [_in_standard_unit(name, value, table) for value in values]
    figure = _figure(rule, found, table, compare)
    wanted = _wanted(rule, table)
    text = f"{label}, {_of_words(rule, len(values), table)} {_worst(rule, figure).shown}, {wanted}"
    near = [one for one in figure if _is_near(rule, one.value, table)]
    missed = [one for one in figure if not _met(rule, one.compared, table)]
    if near and all(_is_near(rule, one.value, table) for one in missed):
        return answer(None, f"{text}: too near to tell", to_settle(label, rule, near, len(values)))
    return answer(not missed, text)


def to_settle(label: str, rule: Rule, near: Sequence[Found], count: int) -> str:
    """The cheapest measurement that would settle a rule whose limit lies within the doubt."""
    if rule.get("of", "each") == "each":
        return f"measure the {label} of the {len(near)} near the limit again, with a finer scale"
    value, limit = near[0].value, float(_limit(rule))
    distance, doubt = abs(nominal(value) - limit), expanded(value)
    if distance <= 0 or (doubt / distance) ** 2 > 4:
        return f"measure the {label} again with a finer scale: more bricks alone would not do"
    more = math.ceil(count * (doubt / distance) ** 2) - count
    return f"test {max(1, more)} more for {label}"


def _lacking(
    name: str, values: Sequence[Value], standard: Rule, sample: Sample
) -> tuple[str, str] | None:
    """What keeps a rule from being decided at all: text, and what is needed."""
    label, wanted = _label(name), standard["properties"][name].get("sample", standard["sample"])
    if not values:
        return f"{label}: not measured", name
    if any(value is None for value in values):
        return f"{label}: weighings contradict each other", f"{name}, weighed again"
    if len(values) < wanted:
        text = f"{label}: {len(values)} of the {wanted} bricks the standard asks for"
        return text, f"{name} of {wanted - len(values)} more bricks"
    for fact, hours in standard["properties"][name].get("hours", {}).items():
        given = sample.facts.get(fact)
        if given is not None and not math.isclose(given, hours, rel_tol=0.05):
            kind = "boiled" if fact.startswith("boil") else "soaked"
            text = f"{label}: {kind} for {given:g} h, the standard says {hours:g} h"
            return text, f"{name}, {kind} for {hours:g} h"
    return None


def _applies(when: Rule, values: Sequence[Value]) -> bool:
    scatter = statistics.variation([float(nominal(value)) for value in values])
    if "variation_at_most" in when:
        return bool(round_to(scatter, 0.01) <= when["variation_at_most"])
    return bool(round_to(scatter, 0.01) > when["variation_above"])


def _check_fact(rule: Rule, sample: Sample) -> tuple[bool | None, str, str | None]:
    name, given = rule["fact"], sample.facts.get(rule["fact"])
    label = _label(name)
    if given is None:
        return None, f"{label}: not known", name
    if "is" in rule:
        return given == rule["is"], f"{label}: {given}, asked for {rule['is']}", None
    return given >= rule["at_least"], f"{label}: {given:g}, at least {rule['at_least']:g}", None


def _in_standard_unit(name: str, value: Value, table: Rule) -> Value:
    if "scale" in table:
        if value not in table["scale"]:
            raise NotPossible(f"{_label(name)} is one of {', '.join(table['scale'])}, not {value}")
        return float(table["scale"].index(value))
    given, wanted = GIVEN_IN.get(name), table["unit"]
    return value if given is None or given == wanted else value * _factor(given, wanted)


@cache
def _factor(given: str, wanted: str) -> float:
    return float(convert(1.0, given, wanted))


def _figure(rule: Rule, found: Sequence[Value], table: Rule, compare: str) -> list[Found]:
    of = rule.get("of", "each")
    if of == "each":
        values = list(found)
    elif of == "mean":
        values = [sum(found) / len(found)]
    elif of == "mean_less":
        scatter = statistics.standard_deviation([float(nominal(value)) for value in found])
        values = [sum(found) / len(found) - rule["factor"] * scatter]
    elif of == "count_above":
        return [_count(sum(float(nominal(value)) > rule["above"] for value in found))]
    else:
        raise NotPossible(f"a rule is of each, mean, mean_less or count_above, not {of}")
    return [_found(value, rule.get("step", table.get("step")), table, compare) for value in values]


def _count(number: int) -> Found:
    return Found(float(number), str(number), float(number))


def _found(value: Value, step: Any, table: Rule, compare: str) -> Found:
    middle = float(nominal(value))
    if "scale" in table:
        return Found(value, table["scale"][int(middle)], middle)
    unit = _unit(table)
    if compare == "raw" or not step:
        return Found(value, f"{middle:.4g}{unit}", middle)
    return Found(value, f"{same_digits(middle, step)}{unit}", round_to(middle, step))


def _limit(rule: Rule) -> Any:
    return next(rule[key] for key in ("at_least", "at_most", "below") if key in rule)


def _met(rule: Rule, value: float, table: Rule) -> bool:
    limit = _limit(rule)
    if isinstance(limit, str):
        limit = table["scale"].index(limit)
    if "at_least" in rule:
        return bool(value >= limit)
    return bool(value < limit) if "below" in rule else bool(value <= limit)


def _is_near(rule: Rule, value: Value, table: Rule) -> bool:
    doubt = expanded(value)
    if not doubt or "scale" in table:
        return False
    return bool(abs(nominal(value) - float(_limit(rule))) <= doubt)


def _worst(rule: Rule, figure: Sequence[Found]) -> Found:
    pick = min if "at_least" in rule else max
    return pick(figure, key=lambda one: one.compared)


def _of_words(rule: Rule, count: int, table: Rule) -> str:
    of = rule.get("of", "each")
    if of == "each":
        return ("least" if "at_least" in rule else "greatest") + f" of {count}"
    if of == "mean_less":
        return f"mean less {rule['factor']:g} s,"
    if of == "mean":
        return f"mean of {count}"
    return f"bricks above {rule['above']:g}{_unit(table)}:"


def _wanted(rule: Rule, table: Rule) -> str:
    words = {"at_least": "at least", "at_most": "at most", "below": "below"}
    sense = next(key for key in words if key in rule)
    limit = rule[sense]
    if isinstance(limit, str):
        return f"{words[sense]} {limit} wanted"
    unit = " bricks" if rule.get("of") == "count_above" else _unit(table)
    return f"{words[sense]} {limit:g}{unit} wanted"


def _unit(table: Rule) -> str:
    return "" if table.get("unit", "1") == "1" else f" {table['unit']}"


def _label(name: str) -> str:
    return name.replace("_", " ")
