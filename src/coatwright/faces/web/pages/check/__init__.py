"""Checking the work: film, climate, test card, and what a defect came from."""
