"""What the computed contact leaves out, in sentences."""

LIMITS = (
    "It holds for cylindrical worms only, not for globoid (hourglass) worms and not for worms of two leads.",
    "It shows the pattern without load: under load, parts bend and the pattern grows and moves.",
    "It takes worm, wheel and housing as rigid and unworn, and the worm as long enough to cover the whole mesh.",
    "How much is marked depends on the thickness of the film: compare places, not coverage.",
)
