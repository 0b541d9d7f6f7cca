"""The day as it goes: the plan joined with what was tapped, the clocks that run, what is late."""
