"""Paint: how much of each product, its mixes, and the mix bench with the scale."""
