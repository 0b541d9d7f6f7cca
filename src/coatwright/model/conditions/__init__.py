"""Air, weather and solvents: what paint dries in, and what leaves it."""
