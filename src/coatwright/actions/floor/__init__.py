"""On the shop floor: measuring, mixing, trying out, the shelf, the owner's answers."""
