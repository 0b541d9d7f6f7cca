"""What a person sees; no arithmetic beyond unit, rounding and the scale of a drawing."""
