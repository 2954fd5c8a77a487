"""Formulas of backward differentiation, orders 1 to 5, at a step that changes little.

The numerical differentiation formulas of L. F. Shampine and M. W. Reichelt, SIAM Journal on Scientific Computing 18
(1997) 1-22, section 2. With the backward differences D_j of the states so far, D_0 the last of them, a step of order k
and length h solves for the change d over a forecast:

    forecast    y0 = sum of D_j, j = 0 to k
    change      d = c f(t + h, y0 + d) - psi,  c = h / alpha_k,  psi = sum of gamma_j D_j, j = 1 to k, over alpha_k
    error       (kappa_k gamma_k + 1/(k+1)) d

with gamma_k the sum of 1/j, j = 1 to k, and alpha_k = (1 - kappa_k) gamma_k.
"""

from typing import NamedTuple

import numpy as np

from simtent.network.arrays import Array

MOST_ORDER = 5
# by order from 0; table 1 of the paper: the third to fifth orders as large as the fields of stability bear
KAPPA = (0.0, -0.1850, -1.0 / 9.0, -0.0823, -0.0415, 0.0)


class Formulas(NamedTuple):
    """Coefficients by order from 0, shape (6,).

    gamma   sums of 1/j
    alpha   what a step is divided by
    miss    share of the change that is the estimated error
    """

    gamma: Array
    alpha: Array
    miss: Array


def formulas() -> Formulas:
    """The coefficients as the kernels read them."""
    kappa, order = np.array(KAPPA), np.arange(MOST_ORDER + 1)
    gamma = np.concatenate((np.zeros(1), np.cumsum(1.0 / order[1:])))
    return Formulas(gamma, (1.0 - kappa) * gamma, kappa * gamma + 1.0 / (order + 1))
