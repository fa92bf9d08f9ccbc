"""What reading an amount costs at the start of the program."""

import subprocess
import sys

import pytest

HEAVY = {"pint", "numpy", "uncertainties", "decimal", "fractions", "difflib", "importlib.metadata"}


@pytest.mark.parametrize("work", [
    "import fieldbook.quantities",
    "from fieldbook.quantities import read_amount; read_amount('5 lb 2 oz', 'mass')",
    "from fieldbook.quantities import show; show(100.0, 'degC', 1.0, 'degF')",
    "import fieldbook.calc.uncertainty",
])  # fmt: skip
def test_nothing_heavy_is_loaded(work):
    code = f"{work}\nimport sys\nprint(*sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert HEAVY.isdisjoint(run.stdout.split())
