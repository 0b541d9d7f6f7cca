"""Paint from a moving gun onto a shape: footprint, strokes, sections, deposition."""
