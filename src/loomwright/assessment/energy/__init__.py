"""Energy of a van by the day: what its use takes, what sun and driving bring, how long the batteries last."""
