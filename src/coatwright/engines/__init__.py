"""Pure functions on SI floats and arrays; each folder could be a small library of its own."""
