"""Pixels: from the photo file to what lies on the rectified flank. OpenCV and scikit-image live only here."""
