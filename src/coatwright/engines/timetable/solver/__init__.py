"""How a timetable is found: greedy board, constraint model, neighbourhoods, bounds."""
