"""Papers of a job, A4 and Letter; all of it as files for other programs."""
