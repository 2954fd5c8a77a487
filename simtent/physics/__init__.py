"""Laws: small functions of numbers in SI units, each with its source. They know nothing of shelters."""
