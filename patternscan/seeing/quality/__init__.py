"""How well a flank was photographed: light, sharpness, view, and what hides part of it."""
