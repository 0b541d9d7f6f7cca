"""What a shop measures of gun and hand: fluid test, strokes timed, practice board."""
