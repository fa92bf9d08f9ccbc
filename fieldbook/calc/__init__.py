"""The physics of clay, brick, kiln and fire: one subject a file, all of it sourced."""
