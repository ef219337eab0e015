"""What a person wants done, once: a frozen request in, a frozen result out."""
