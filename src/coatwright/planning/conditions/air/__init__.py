"""How the pieces of airhold.py and of the shop's air card are computed."""
