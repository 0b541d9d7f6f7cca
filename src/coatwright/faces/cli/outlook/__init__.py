"""Commands on what air, weather and time do to a plan."""
