"""The jobs of the shop: the list, with search, and beginning one."""
