"""What keeps the lowest air and the floor cold, at one moment of a solved night."""

from simtent.balance.balances import TOP, Balances, balances
from simtent.balance.moment import Share

__all__ = ["TOP", "Balances", "Share", "balances"]
