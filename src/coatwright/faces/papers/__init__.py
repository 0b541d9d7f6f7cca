"""Papers for the wall and the owner: tagged PDF, and the same figures as CSV or JSON."""
