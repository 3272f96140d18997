"""Least squares: the minimum, why the search ended there, and how sure the parameters are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Array

Residuals = Callable[[Array], Array]
Jacobian = Callable[[Array], Array]
Loss = Callable[[Array], Array]

MOST_STEPS = 2000

# Why a search ended, by scipy's code.
REASONS: dict[int, str] = {
    0: "too many steps",
    1: "the gradient is 0",
    2: "the sum of squares changes no more",
    3: "the parameters change no more",
    4: "neither the sum of squares nor the parameters change any more",
}


@dataclass(frozen=True, slots=True, eq=False)
class Minimum:
    """Where a sum of squares is least.

    Parameters
    ----------
    parameters : Array
        There, shape (n,).
    residuals : Array
        There, shape (m,).
    jacobian : Array
        Slopes of the residuals, shape (m, n); under a loss not scaled by it.
    converged : bool
        Whether the search found a minimum.
    reason : str
        Why it ended.
    """

    parameters: Array
    residuals: Array
    jacobian: Array
    converged: bool
    reason: str

    @property
    def sum_of_squares(self) -> float:
        """Residual sum of squares [unit of the residuals squared]."""
        return float(self.residuals @ self.residuals)


def minimise(
    residuals: Residuals,
    start: Array,
    *,
    jacobian: Jacobian | None = None,
    bounds: tuple[Array, Array] | None = None,
    loss: Loss | None = None,
    tolerance: float = 1e-15,
) -> Minimum:
    """Find the least sum of squares, or of a loss of them.

    Parameters
    ----------
    residuals : callable
        Parameters to residuals.
    start : Array
        Where to begin.
    jacobian : callable | None
        Parameters to slopes of the residuals; central differences when None.
    bounds : tuple of Array | None
        Lower and upper bounds of the parameters; none when None.
    loss : callable | None
        From squared residuals to the loss and its first two derivatives by them, shape (3, m); squares when None.
    tolerance : float
        Relative change of parameters and sum that ends the search [-].

    Returns
    -------
    Minimum
        See there.

    References
    ----------
    Branch, Coleman and Li, A subspace, interior, and conjugate gradient method for large-scale bound-constrained
    minimization problems, SIAM J. Sci. Comput. 21 (1999) 1 (trust region within bounds, through scipy).
    """
    from scipy.optimize import least_squares

    found = least_squares(
        residuals,
        np.asarray(start, dtype=np.float64),
        jac=jacobian or "3-point",
        bounds=bounds if bounds is not None else (-np.inf, np.inf),
        method="trf",
        x_scale="jac",
        loss=loss or "linear",
        ftol=tolerance,
        xtol=tolerance,
        gtol=tolerance,
        max_nfev=MOST_STEPS,
    )
    at = np.asarray(found.x, dtype=np.float64)
    slopes = jacobian(at) if jacobian is not None else _central(residuals, at)
    return Minimum(at, np.asarray(residuals(at)), slopes, found.status > 0, REASONS[found.status])


def _central(residuals: Residuals, at: Array) -> Array:
    """Slopes by central differences, their step the cube root of the machine's precision."""
    steps = np.cbrt(np.finfo(np.float64).eps) * np.maximum(np.abs(at), 1e-8)
    columns = []
    for place, step in enumerate(steps):
        moved = np.zeros_like(at)
        moved[place] = step
        columns.append((residuals(at + moved) - residuals(at - moved)) / (2.0 * step))
    return np.stack(columns, axis=-1)


def covariance(jacobian: Array) -> Array:
    """Covariance of parameters whose residuals have a standard deviation of 1.

    Parameters
    ----------
    jacobian : Array
        Slopes of the residuals, shape (m, n), of full rank.

    Returns
    -------
    Array
        (J^T J)^-1 from the triangular factor of J, shape (n, n); textbook, Björck, Numerical Methods for Least Squares
        Problems, sec. 2.8.3.
    """
    factor = np.linalg.qr(jacobian, mode="r")
    inverse = np.linalg.solve(factor, np.eye(len(factor)))
    return np.asarray(inverse @ inverse.T, dtype=np.float64)


def scaled_covariance(minimum: Minimum) -> Array:
    """Covariance where the residuals themselves tell their standard deviation.

    Parameters
    ----------
    minimum : Minimum
        Of more residuals than parameters.

    Returns
    -------
    Array
        `covariance` times the residual sum of squares over the degrees of freedom, shape (n, n); textbook, Bates and
        Watts, Nonlinear Regression Analysis, sec. 2.2.
    """
    freedom = len(minimum.residuals) - len(minimum.parameters)
    return covariance(minimum.jacobian) * (minimum.sum_of_squares / freedom)
