"""Timetable: who does what when, proven best or with the gap stated."""
