"""Roots between brackets against scipy's solver of the same method."""

import numpy as np
import pytest
from scipy.optimize.elementwise import find_root

from jumpcalc.physics.roots import bracketed_roots

A = np.random.default_rng(3).uniform(0.01, 0.99, 200)
FUNCTIONS = [
    lambda x, a: x - a,
    lambda x, a: x**3 - a**3,
    lambda x, a: np.exp(8 * (x - a)) - 1,
    lambda x, a: np.tanh(50 * (x - a)),
    lambda x, a: np.where(x < a, 0.1, 3.0) * (x - a),
    lambda x, a: np.cbrt(x - a),
    lambda x, a: (x - a) ** 5,
]


@pytest.mark.parametrize("number", range(len(FUNCTIONS)))
def test_the_roots_of_an_independent_solver(number):
    function = FUNCTIONS[number]
    low, high = np.zeros_like(A), np.ones_like(A)
    theirs = find_root(function, (low, high), args=(A,), tolerances={"xatol": 1e-14, "xrtol": 0.0}).x
    ours, back = bracketed_roots(function, low, high, A), bracketed_roots(function, high, low, A)
    bound = 2e-3 if number == len(FUNCTIONS) - 1 else 1e-13
    assert ours == pytest.approx(theirs, abs=bound) and back == pytest.approx(theirs, abs=bound)
    assert ours == pytest.approx(A, abs=bound)


def test_no_change_of_sign_gives_the_smaller_end():
    ours = bracketed_roots(lambda x, a: x + a, np.array([1.0, -3.0]), np.array([2.0, -2.0]), np.array([0.5, 0.5]))
    assert list(ours) == [1.0, -2.0]


def test_no_rows():
    assert len(bracketed_roots(lambda x: x, np.empty(0), np.empty(0))) == 0
