"""A setting job in its folder: begun, logged, judged, and asked what it wants next."""
