"""The states of all tests of rules, by the name of the rule."""

from tests.advice import (
    test_rules_around_firing,
    test_rules_batch,
    test_rules_earth,
    test_rules_firing,
    test_rules_people,
    test_rules_use,
)

STAGES = (
    test_rules_earth,
    test_rules_batch,
    test_rules_firing,
    test_rules_around_firing,
    test_rules_people,
    test_rules_use,
)
SPEAKS = {name: state for stage in STAGES for name, state in stage.SPEAKS.items()}
SILENT = {name: state for stage in STAGES for name, state in stage.SILENT.items()}
