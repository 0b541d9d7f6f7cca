"""One module per command; each makes its calls to actions in one place."""
