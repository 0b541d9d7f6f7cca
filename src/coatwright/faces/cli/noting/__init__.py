"""Commands on what has happened: noting it, and showing what follows."""
