"""A timetable told in figures and sentences."""
