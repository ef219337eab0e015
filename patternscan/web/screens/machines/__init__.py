"""A machine: what its job asks for, entries by forms, the machine sheet, everything as one file."""
