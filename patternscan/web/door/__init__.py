"""Who comes in: the code, the signed cookie, what every request and every answer has to keep to."""
