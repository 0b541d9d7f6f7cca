"""Trade words with what they are called elsewhere."""
