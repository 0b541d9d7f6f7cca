"""A fan from a photograph of the test card."""
