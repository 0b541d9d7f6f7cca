"""What a shop measures of gun and hand: fluid caught in a cup, strokes timed, practice boards."""
