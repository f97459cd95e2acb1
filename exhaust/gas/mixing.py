"""Viscosity and conductivity of a dilute gas mixture from those of its species (arrays)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

CONDUCTIVITY_EPSILON = 1.0  # of Mason and Saxena; they had 1.065, later handbooks 1


def mixture_viscosity(fractions: Array, molar_masses: Array, viscosities: Array) -> Array:
    """Return the viscosity of a mixture (m,) [Pa s] from fractions (n,), viscosities (n, m).

    mu = sum_i x_i mu_i / sum_j x_j phi_ij, phi_ij = [1 + (mu_i/mu_j)^(1/2) (M_j/M_i)^(1/4)]^2
    / [8 (1 + M_i/M_j)]^(1/2), dilute gas [wilke]

    >>> half, masses = np.array([0.5, 0.5]), np.array([0.04, 0.04])
    >>> (mixture_viscosity(half, masses, np.full((2, 1), 2e-5)) * 1e6).round(3).tolist()
    [20.0]
    """
    return _weighted(fractions, viscosities, _wilke(molar_masses, viscosities))


def mixture_conductivity(
    fractions: Array, molar_masses: Array, viscosities: Array, conductivities: Array
) -> Array:
    """Return the conductivity of a mixture (m,) [W/m/K] from fractions (n,), the rest (n, m).

    k = sum_i x_i k_i / sum_j x_j A_ij, A_ij = eps phi_ij, A_ii = 1, eps = 1.0 (they had 1.065),
    dilute gas [mason-saxena]

    >>> half, masses, mu = np.array([0.5, 0.5]), np.array([0.04, 0.04]), np.full((2, 1), 2e-5)
    >>> mixture_conductivity(half, masses, mu, np.full((2, 1), 0.02)).round(6).tolist()
    [0.02]
    """
    a = CONDUCTIVITY_EPSILON * _wilke(molar_masses, viscosities)
    for i in range(fractions.size):
        a[i, i] = 1.0
    return _weighted(fractions, conductivities, a)


def _wilke(molar_masses: Array, viscosities: Array) -> Array:
    """Return phi (n, n, m)."""
    mass = molar_masses[:, None, None] / molar_masses[None, :, None]
    mu = viscosities[:, None, :] / viscosities[None, :, :]
    return np.asarray((1 + np.sqrt(mu) * mass**-0.25) ** 2 / np.sqrt(8 * (1 + mass)))


def _weighted(fractions: Array, values: Array, weights: Array) -> Array:
    """Return sum_i x_i v_i / sum_j x_j w_ij (m,)."""
    shared = np.einsum("j,ijm->im", fractions, weights)
    return np.asarray((fractions[:, None] * values / shared).sum(axis=0))
