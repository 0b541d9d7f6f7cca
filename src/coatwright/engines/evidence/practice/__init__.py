"""A learner's practice board, and how a hand shows in it."""
