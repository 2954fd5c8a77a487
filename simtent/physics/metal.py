"""Specific heat of the sheet metal of stoves and pipes, as polynomials; the engine's curve integrates them."""

STEEL = (425.0, 0.773, -1.69e-3, 2.22e-6)
"""Polynomial of the specific heat over degC [J/(kg K), then per K, K2, K3]; EN 1993-1-2 3.4.1.2 (from memory)."""

TITANIUM = (560.0, 0.0, 0.0, 0.0)
"""As for steel; middle of 520 to 600 J/(kg K), from memory."""

TOP = 600.0
"""Top of the range [degC], above which the value stays; steel's peak of its phase change at 735 degC is left out."""
