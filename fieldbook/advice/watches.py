"""How people take turns at a fire."""

WATCH = 6.0
"""h: the longest anyone stokes full fire without rest; common practice."""
LAST_CLIMB = 4.0
"""h before the peak in which the fire is hottest and hardest to read; common practice."""
