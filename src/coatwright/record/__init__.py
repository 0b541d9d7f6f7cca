"""What really happened, append-only, and what follows from it alone."""
