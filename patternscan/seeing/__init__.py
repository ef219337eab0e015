"""Pixels: from the photo file to what lies on the flattened flank. OpenCV and scikit-image live only here."""
