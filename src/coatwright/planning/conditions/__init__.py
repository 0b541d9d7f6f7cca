"""What the shop's air, climate and ventilation do to a plan: air hold, drying, windows."""
