"""The record: what lies where, the history, any past moment, undo, photographs, the archive."""
