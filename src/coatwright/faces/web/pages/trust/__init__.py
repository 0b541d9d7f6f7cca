"""How a phone comes to trust the certificate of the workshop."""
