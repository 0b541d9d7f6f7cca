"""Who holds this phone: name, language, units and light."""
