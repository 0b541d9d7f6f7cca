"""One file per migration, in order of its number."""
