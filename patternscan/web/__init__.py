"""The second door: pages, forms and uploads for a phone on the local network; nothing is judged here."""
