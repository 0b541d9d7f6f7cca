"""Something happened: what came to light, came off, was rubbed through or put right; a note."""
