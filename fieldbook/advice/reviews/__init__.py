"""One file a kind of entry: `fill(review, context)` adds what follows from it."""
