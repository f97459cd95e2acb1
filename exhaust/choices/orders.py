"""Pulses as a sum of engine orders, and as what an ear outside would be sent.

An order is a number of times in a turn of the crank; a four-stroke cycle has them by halves.
"""

from __future__ import annotations

import numpy as np

from exhaust.choices.waves import FloatArray

PER_TURN = 0.5  # step of orders: one to a cycle of two turns
TWO_DECIBELS = 10 ** (2.0 / 20)  # that the A weighting is raised by, so that 1 kHz counts as it is
# Two microphones far behind, so far off the middle to either side; the open ends so far apart.
# Common practice, no source.
OFF_MIDDLE, APART, AIR_SOUND = np.radians(45.0), 1.0, 343.0  # [rad], [m], [m/s]
EAR_CORNERS = (20.598997, 107.65265, 737.86223, 12194.217)  # [Hz]


def order_amplitudes(values: FloatArray) -> np.ndarray:
    """Return the complex amplitude of each order in one cycle of samples, the last the first again.

    Order n/2 at place n, from the mean at nought: values = real part of the sum of
    amplitude exp(i order angle), angle of the crank.

    >>> angle = np.linspace(0.0, 4 * np.pi, 721)
    >>> found = order_amplitudes(3.0 + 2.0 * np.cos(1.5 * angle))
    >>> abs(found[[0, 2, 3]]).round(6).tolist()
    [3.0, 0.0, 2.0]
    """
    found = np.fft.rfft(values[:-1]) / (len(values) - 1)
    found[1:] *= 2
    return found


def ear_weight(frequency: FloatArray) -> FloatArray:
    """Return how much the ear makes of an amplitude at a `frequency` [Hz], 1 at 1 kHz [iec61672].

    R = f4^2 f^4/((f^2 + f1^2)(f^2 + f4^2) sqrt((f^2 + f2^2)(f^2 + f3^2))), 2.00 dB higher.

    >>> (20 * np.log10(ear_weight(np.array([125.0, 1000.0, 4000.0])))).round(1).tolist()
    [-16.2, 0.0, 1.0]
    """
    f1, f2, f3, f4 = (corner**2 for corner in EAR_CORNERS)
    f = np.asarray(frequency, float) ** 2
    low = (f + f1) * np.sqrt((f + f2) * (f + f3))
    return np.asarray(TWO_DECIBELS * f4 * f**2 / (low * (f + f4)))


def sent(flow: np.ndarray, speed: float) -> np.ndarray:
    """Return the orders of sound from those of an opening's mass flow: its rate of change.

    An opening that is small for the wave sends p = (dm/dt)/(4 pi r) [monopole]; here dm/dt, for
    `speed` of the crank [rad/s].

    >>> abs(sent(np.array([1.0, 2.0]), 100.0)).tolist()
    [0.0, 100.0]
    """
    return np.asarray(1j * PER_TURN * np.arange(len(flow)) * speed * flow)


def frequencies(count: int, speed: float) -> FloatArray:
    """Return the frequencies of the first so many orders [Hz].

    >>> frequencies(3, 200 * np.pi).tolist()
    [0.0, 50.0, 100.0]
    """
    return np.asarray(PER_TURN * np.arange(count) * speed / (2 * np.pi))


def decibels(power: FloatArray) -> FloatArray:
    """Return a ratio of powers in decibels; nothing at all is minus infinity.

    >>> decibels(np.array([0.0, 0.5, 100.0])).round(1).tolist()
    [-inf, -3.0, 20.0]
    """
    with np.errstate(divide="ignore"):
        return np.asarray(10 * np.log10(power))


def at_microphones(ends: np.ndarray, hertz: FloatArray, angle: FloatArray) -> FloatArray:
    """Return what two microphones hear at crank angles [rad], arrays (2, angles).

    Of what each open end sends, by orders at frequencies `hertz` (ends, orders); ends lie in a row
    across the car, and each is early at one microphone by as much as it is late at the other.

    >>> alone = at_microphones(np.array([[0.0, 1.0]]), np.array([0.0, 50.0]), np.zeros(1))
    >>> alone.tolist()
    [[1.0], [1.0]]
    """
    place = APART * (np.arange(len(ends)) - (len(ends) - 1) / 2)
    late = 2j * np.pi * hertz * place[:, None] * np.sin(OFF_MIDDLE) / AIR_SOUND
    heard = np.stack([(ends * np.exp(sign * late)).sum(axis=0) for sign in (1, -1)])
    turns = np.exp(1j * PER_TURN * np.arange(len(hertz))[:, None] * angle)
    return np.asarray(np.real(heard @ turns))
