"""Published check values, each with the tolerance it may be held to and the source it was taken from."""
