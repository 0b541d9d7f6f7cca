"""From the shape of an area and a hand to the stroke recipe, its film, and the rubbing down.

ready     what the gun sees of a mixed paint, and the run limit
layouts   ways to lay strokes over a shape
sampling  a layout in a hand: the film per unit of paint
recipe    the solver
card      a recipe in Figures
rubbing   what each grade takes, and what is left
spraying  all recipes of a job, and what each coat asks of the paint
"""
