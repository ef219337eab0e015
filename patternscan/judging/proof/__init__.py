"""How right the readings are on photographs of which a person has said what is true."""
