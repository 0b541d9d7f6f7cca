"""What the shop has learned from its own jobs, and what that makes of a plan."""
