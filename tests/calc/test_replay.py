"""True bricks, each an eighth of a block of cells, held against the bounds of the march.

A few of what `python -m tests.bench.replay_coverage` runs in full.
"""

import numpy as np
import pytest

from tests.bench.replay_coverage import replayed


@pytest.mark.parametrize(("probe", "widest"), [("face", 50), ("gas", 90)])
def test_the_bounds_hold_the_truth_and_are_narrow_enough_to_act_on(probe, widest):
    # read every 10 to 60 min, with gaps
    replay = replayed(3, seed=5, probe=probe, hours=20.0)
    for name in ("core", "water", "bound", "heat-work"):
        assert replay.held[name].mean() >= 0.9, name
    slow = (replay.climb > 0) & (replay.climb <= 50)
    assert np.median(replay.width[slow]) <= widest
