"""The day: all steps of all areas laid out over one or several days."""
