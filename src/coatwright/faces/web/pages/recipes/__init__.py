"""The gun: set-up and strokes for one area and product, tried with sliders, heard as a beat."""
