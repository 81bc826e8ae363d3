"""The published curves by which the two libraries let recall fall, for many skills at once.

`search --check` holds them beside the libraries themselves.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.special import betaln

Values = npt.NDArray[np.float64]


def power_curve(days: Values, *, ninety: Values, power: float) -> Values:
    """Recall after `days`, if it is .9 after `ninety`: (1 + f·t/S)^-power, f = .9^(-1/power) - 1.

    The forgetting curve of fsrs 6, as its documentation gives it (from memory).
    """
    factor = 0.9 ** (-1.0 / power) - 1.0
    return (1.0 + factor * np.maximum(days, 0.0) / ninety) ** -power


def days_to(recall: float, *, ninety: float, power: float) -> float:
    """Days until recall has fallen to `recall`: the power curve turned round."""
    factor = 0.9 ** (-1.0 / power) - 1.0
    return ninety / factor * (recall ** (-1.0 / power) - 1.0)


def beta_curve(days: Values, *, alpha: Values, beta: Values, unit: Values) -> Values:
    """Mean recall after `days` where it is Beta(alpha, beta) after `unit` days.

    B(alpha + t/unit, beta) / B(alpha, beta), as ebisu's documentation derives it: recall falls by
    halves, so the mean of p^(t/unit) is wanted.
    """
    return np.exp(betaln(alpha + days / unit, beta) - betaln(alpha, beta))
