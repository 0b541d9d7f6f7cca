"""The live day: one thing to do now, what is next, the clocks that run."""
