"""What readings and priors know of the parameters' logarithms: singular values and directions of whitened slopes."""

from dataclasses import dataclass

import numpy as np

from simtent.network.arrays import Array

NOTHING = 1e-5  # of the largest singular value; slopes themselves are good to a millionth of it
ROUND_OFF = 1e-9


@dataclass(frozen=True)
class Information:
    """Knowledge of p parameters.

    data     [p, p], upper factor of the readings' whitened slopes, without directions in which they change nothing
    priors   [p], 1 / spread, 0 for none
    """

    data: Array
    priors: Array

    def spectrum(self) -> tuple[Array, Array]:
        """Singular values of the readings alone, falling, and their directions in the rows of the second, [p, p]."""
        _, sizes, directions = np.linalg.svd(self.data)
        return sizes, directions

    def matrix(self) -> Array:
        """Information matrix of readings and priors, [p, p]."""
        return np.asarray(self.data.T @ self.data + np.diag(self.priors**2))

    def known(self) -> Array:
        """Directions that readings or priors know at all, in the rows, shape [q, p]."""
        _, sizes, directions = np.linalg.svd(np.vstack((self.data, np.diag(self.priors))))
        return np.asarray(directions[sizes > ROUND_OFF * max(sizes[0], ROUND_OFF)])

    def covariance(self) -> Array:
        """Laplace's covariance of the logarithms [p, p]; infinite for each parameter of an unknown direction."""
        known = self.known()
        inner = known @ self.matrix() @ known.T
        out = np.asarray(known.T @ np.linalg.inv(inner) @ known)
        lost = 1.0 - np.sum(known**2, axis=0) > ROUND_OFF
        out[lost, :] = out[:, lost] = 0.0
        out[lost, lost] = np.inf
        return out


def information(slopes: Array, priors: Array) -> Information:
    """Gather what whitened slopes [m, p] and the priors' 1 / spread [p] know."""
    sizes, directions = np.linalg.svd(np.linalg.qr(slopes, mode="r"))[1:]  # not of as many rows as readings
    sizes = np.append(sizes, np.zeros(len(priors) - sizes.size))
    sizes[sizes < NOTHING * sizes[0]] = 0.0
    return Information(sizes[:, None] * directions, priors)
