"""The plan as one HTML file that needs nothing else: no script, no network, prints well."""
