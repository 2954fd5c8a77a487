"""Coefficients of the stepping: a Rosenbrock method that keeps its order with any matrix in place of the Jacobian.

A step of length h from y, with a matrix J and stages k_i, solves

    (1 - h g J) k_i = h f(t + alpha_i h, y + sum a_ij k_j) + h J sum c_ij k_j

and ends at y + sum b_i k_i. What is kept here are the same numbers for sums u_i of the k_j, by which no product with
J has to be made.
"""

from typing import NamedTuple

import numpy as np

from simtent.network.arrays import Array


class Method(NamedTuple):
    """A method of s stages, for the sums u = (triangle of the c_ij, with g on its diagonal) k.

    before    [s, s] what earlier sums add to the state of a stage
    feed      [s, s] what earlier sums, over h, add to its right-hand side
    after     [s] what the sums add to the state by the end of a step
    miss      [s] the same less that of the embedded method of order 2
    within    [3, s] factors of theta, its square and its cube: what they add by a share theta of a step
    alpha     [s] share of the step at which a stage looks at the right-hand side
    gamma     what stands before h J
    """

    before: Array
    feed: Array
    after: Array
    miss: Array
    within: Array
    alpha: Array
    gamma: float


# ROS34PW2: four stages, order 3 with any matrix, stiffly accurate, embedded order 2 with any matrix.
# J. Rang and L. Angermann, New Rosenbrock W-methods of order 3 for partial differential algebraic equations of
# index 1, BIT Numerical Mathematics 45 (2005) 761-787. The tests hold them to every condition of order.
GAMMA = 4.3586652150845900e-01
A = (
    (0.0, 0.0, 0.0, 0.0),
    (8.7173304301691801e-01, 0.0, 0.0, 0.0),
    (8.4457060015369423e-01, -1.1299064236484185e-01, 0.0, 0.0),
    (0.0, 0.0, 1.0, 0.0),
)
C = (
    (GAMMA, 0.0, 0.0, 0.0),
    (-8.7173304301691801e-01, GAMMA, 0.0, 0.0),
    (-9.0338057013044082e-01, 5.4180672388095326e-02, GAMMA, 0.0),
    (2.4212380706095346e-01, -1.2232505839045147e00, 5.4526025533510214e-01, GAMMA),
)
B = (2.4212380706095346e-01, -1.2232505839045147e00, 1.5452602553351020e00, GAMMA)
EMBEDDED = (3.7810903145819369e-01, -9.6042292212423178e-02, 5.0e-01, 2.1793326075422950e-01)


def within_a_step() -> Array:
    """Weights of the stages k_i by a share theta of a step, shape (3 powers of theta, stages).

    They are those cubics that meet, at every theta, the conditions of order 2 for any matrix and that of order 3 on
    alpha squared; with the exact Jacobian they have order 3. At theta = 1 they are those of the step itself. A cubic
    through states and rates at both ends would be worse: a stiff part's rate is its error times its speed.
    """
    alpha, gamma = np.array(A).sum(axis=1), np.array(C).sum(axis=1)
    conditions = np.array([np.ones(4), alpha, gamma, alpha**2])
    wanted = np.array([[1.0, 0.0, 0.0], [0.0, 1.0 / 2.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 1.0 / 3.0]])
    return np.linalg.solve(conditions, wanted).T.copy()


def method() -> Method:
    """The coefficients as the kernels read them."""
    back = np.linalg.inv(np.array(C))
    after, embedded = np.array(B), np.array(EMBEDDED)
    return Method(
        before=np.array(A) @ back,
        feed=np.eye(4) / GAMMA - back,
        after=after @ back,
        miss=(after - embedded) @ back,
        within=within_a_step() @ back,
        alpha=np.array(A).sum(axis=1),
        gamma=GAMMA,
    )
