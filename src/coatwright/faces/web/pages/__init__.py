"""The pages, one folder each: page.py with its routes, and its templates."""
