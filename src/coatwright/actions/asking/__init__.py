"""Questions to the record."""
