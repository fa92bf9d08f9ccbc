"""From records to results and the next recommended actions."""
