"""Grades: a standard is plain data, and one small engine holds the bricks against it.

A standard's table (fieldbook/tables/standards) names its edition, source, sample, rounding and
waivers, and its grades, the best first. Adding a standard takes no code.
"""

from typing import Any, NamedTuple

from fieldbook.calc.grading_checks import Check, Rule, Sample, check
from fieldbook.errors import NotPossible
from fieldbook.tables import load, names

__all__ = ["Check", "Sample", "Verdict", "find_standard", "grade", "standards"]


class Verdict(NamedTuple):
    """What a standard says of a sample of bricks."""

    standard: str
    edition: str
    source: str
    grade: str | None
    """None where no grade is reached, or where it is not decided."""
    at_least: str | None
    """The best grade that is sure; the grade itself where that is decided."""
    undecided: str | None
    """The better grade that may yet be reached."""
    sure: str
    """On how many bricks and which rounding the verdict rests."""
    because: tuple[str, ...]
    """What decided it."""
    short_of_next: tuple[str, ...]
    """What it fell short of for the next better grade."""
    needs: tuple[str, ...]
    """What would decide what is undecided, the first the cheapest."""
    waived: tuple[str, ...]
    from_memory: tuple[str, ...]
    """Rules that rest on memory only: check the edition before quoting them."""
    rounding_matters: str | None
    """Said where the grade would be another with raw values instead of rounded ones."""


class _Judged(NamedTuple):
    name: str
    checks: list[Check]

    @property
    def met(self) -> bool | None:
        states = [one.met for one in self.checks if not one.waived]
        if False in states:
            return False
        return None if None in states else True


def standards() -> dict[str, str]:
    """Names of the standards that ship with the program -> their table.

    Example:
        >>> standards()["ASTM C62"]
        'standards/astm-c62'
    """
    tables = {table: load(table)["name"] for table in names("standards")}
    plain: dict[str, str] = {}
    for table, title in tables.items():
        other = plain.setdefault(_plain(title), table)
        if other != table:
            raise ValueError(f"two standards are called {title}: {other} and {table}")
    return {title: table for table, title in tables.items()}


def find_standard(name: str) -> dict[str, Any]:
    """A standard's table by its name, such as "ASTM C62", however the case and dashes stand.

    Raises:
        NotPossible: no such standard; the message lists those there are.
    """
    known = standards()
    plain = {_plain(title): table for title, table in known.items()}
    plain.update({_plain(table.rpartition("/")[2]): table for table in known.values()})
    if _plain(name) not in plain:
        raise NotPossible(f"no standard called {name} is known; known are {', '.join(known)}")
    return load(plain[_plain(name)])


def grade(standard: Rule, sample: Sample, compare: str | None = None) -> Verdict:
    """Hold a sample against a standard.

    Formula:
        the first grade, the best first, whose rules are all met
    Args:
        standard: its table, from find_standard or any mapping like it.
        sample: what was measured.
        compare: "rounded" or "raw" values against the limits; the standard's own way where None.
    Returns:
        A Verdict.
    Source:
        The standard's own table.
    """
    way = compare or standard["rounding"]["compare"]
    judged = _judge(standard, sample, way)
    verdict = _verdict(standard, judged, way, sample)
    other = "raw" if way == "rounded" else "rounded"
    if verdict.grade and (there := _first_met(_judge(standard, sample, other))) != verdict.grade:
        words = f"{way} values were compared with the limits; {other} ones would give {there}"
        verdict = verdict._replace(rounding_matters=words)
    return verdict


def _judge(standard: Rule, sample: Sample, compare: str) -> list[_Judged]:
    waived = {
        name: f"{waiver['words']} ({waiver['edition']})"
        for waiver in standard.get("waivers", ())
        if all(check(rule, standard, sample, compare).met is True for rule in waiver["when"])
        for name in waiver["waives"]
    }
    judged = []
    for row in standard["grades"]:
        checks = [check(rule, standard, sample, compare) for rule in row["limits"]]
        checks = [one._replace(waived=waived.get(one.name)) for one in checks]
        judged.append(_Judged(row["name"], checks))
    return judged


def _first_met(judged: list[_Judged]) -> str | None:
    return next((one.name for one in judged if one.met), None)


def _verdict(standard: Rule, judged: list[_Judged], way: str, sample: Sample) -> Verdict:
    sure = _first_met(judged)
    reached = next((i for i, one in enumerate(judged) if one.met), len(judged))
    open_ = next((one for one in judged[:reached] if one.met is None), None)
    better = next((one for one in reversed(judged[:reached]) if one.met is False), None)
    holder = judged[reached] if sure else None
    return Verdict(
        standard=standard["name"],
        edition=standard["edition"],
        source=standard["source"],
        grade=None if open_ else sure,
        at_least=sure,
        undecided=open_.name if open_ else None,
        sure=_sure(standard, sample, way),
        because=_texts(holder or open_ or judged[-1], None),
        short_of_next=_texts(better, False),
        needs=_needs(open_),
        waived=_waived(holder or open_),
        from_memory=_from_memory(standard, judged),
        rounding_matters=None,
    )


def _sure(standard: Rule, sample: Sample, way: str) -> str:
    counts = {
        len(values) for name, values in sample.values.items() if name in standard["properties"]
    }
    bricks = f"{min(counts)} bricks" if counts else "no bricks"
    return f"{bricks}, {standard['sample']} asked for; {way} values compared, an exact half to even"


def _texts(judged: _Judged | None, met: bool | None) -> tuple[str, ...]:
    """What each rule found; with `met`, only the rules that came out so."""
    checks = [one for one in (judged.checks if judged else ()) if one.text and not one.waived]
    return tuple(one.text for one in checks if met is None or one.met is met)


def _needs(judged: _Judged | None) -> tuple[str, ...]:
    if judged is None:
        return ()
    needs = [one.needs for one in judged.checks if one.met is None and not one.waived]
    return tuple(dict.fromkeys(need for need in needs if need))


def _waived(judged: _Judged | None) -> tuple[str, ...]:
    lifted = [one for one in (judged.checks if judged else ()) if one.waived and not one.met]
    return tuple(dict.fromkeys(f"{one.name.replace('_', ' ')}: {one.waived}" for one in lifted))


def _from_memory(standard: Rule, judged: list[_Judged]) -> tuple[str, ...]:
    found = [
        f"{one.name}: {each.name.replace('_', ' ')}, {each.of}"
        for one in judged
        for each in one.checks
        if each.from_memory
    ]
    return (*standard.get("from_memory", ()), *found)


def _plain(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())
