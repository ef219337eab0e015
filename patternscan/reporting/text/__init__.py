"""Sentences: every word that a person reads is made here."""
