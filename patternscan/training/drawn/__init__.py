"""Pictures of wheel flanks, drawn by the hundred on graphics cards, whose contact is known."""
