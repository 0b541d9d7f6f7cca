"""Windows: every patch coat by coat, and what lapses next."""
