"""A season played through: a maker who does what `next` says, and one who follows fixed times."""
