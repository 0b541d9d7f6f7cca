"""The shelf: tins by batch number and use-by date."""
