"""Published rules: whether readings pass, and how many to take."""
