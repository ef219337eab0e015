"""Sheets that are printed and cut up."""
