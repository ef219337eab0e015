"""What counts now in a job: packs, marks, current readings and what invalidated them."""
