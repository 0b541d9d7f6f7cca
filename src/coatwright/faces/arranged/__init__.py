"""What stands where when a plan is read from top to bottom: shared by page, papers and terminal."""
