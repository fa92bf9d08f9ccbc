"""Figures measured by hand, as ratios within one run: `python -m tests.bench.start`."""
