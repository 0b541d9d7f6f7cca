"""The front of a job: what is next, and the way to everything else."""
