"""The light table of line fields and the records agree, and so do typed units and quantities."""

import pytest

from fieldbook.lines.fields import COMMON, KINDS, LOG, SPECIMEN, UNLOADED, WORDS, log_fields
from fieldbook.lines.scan import UNITS
from fieldbook.quantities import read_amount
from fieldbook.records import KINDS as RECORDS
from fieldbook.records import Spec, Specimen, Unloaded, specs

HOLDS = {"flag": "flag", "count": "count", "text": "text", "words": "words", "name": "name"}
HOLDS["items"] = "list"


def shape_of(spec: Spec) -> str:
    if spec.holds != "amount":
        return HOLDS[spec.holds]
    return "amount_of_fuel" if "volume" in spec.dimensions else spec.dimensions[0]


@pytest.mark.parametrize("kind", KINDS)
def test_log_fields_of_a_kind_are_those_of_its_record(kind):
    record = {name: shape_of(spec) for name, spec in specs(RECORDS[kind].line_type).items()}
    assert log_fields(kind) == record


def test_every_kind_of_record_has_its_log_fields():
    assert set(KINDS) == set(RECORDS) == set(LOG)
    assert {"by", "note", "hours", "cost", "declined", "because"} == set(COMMON)


@pytest.mark.parametrize(("record", "table"), [(Specimen, SPECIMEN), (Unloaded, UNLOADED)])
def test_other_tables_hold_only_fields_of_their_records(record, table):
    shapes = {name: shape_of(spec) for name, spec in specs(record).items() if name in table}
    assert shapes == table


def test_choices_of_words_are_those_of_the_records():
    for record in (Specimen, *(kind.line_type for kind in RECORDS.values())):
        for name, spec in specs(record).items():
            if spec.holds == "words":
                assert spec.words == WORDS[name], name


@pytest.mark.parametrize("dimension", UNITS)
def test_every_unit_that_is_recognised_while_typing_can_be_read(dimension):
    for unit in UNITS[dimension].split():
        amount = f"3 {unit.upper().replace('℃', '°C').replace('℉', '°F')}"
        written = amount if dimension == "temperature" else f"3 {unit}"
        assert read_amount(written, dimension).dimension == dimension
