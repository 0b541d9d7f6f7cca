"""Engines over the model give the Plan. Two engines that need each other meet here, as floats."""
