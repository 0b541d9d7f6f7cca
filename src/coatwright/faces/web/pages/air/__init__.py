"""Air: what to set at the wall, what holds and how long, gauges typed in and the line fitted."""
