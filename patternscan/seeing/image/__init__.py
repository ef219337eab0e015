"""The photo as a person sees it: upright, in sRGB, with its size and origin."""
