"""System advice: what may go on what, why, and the cheapest legal way to the wanted finish."""
