"""Papers of a job: each alone or all as the pack, A4 and Letter."""
