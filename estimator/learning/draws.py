"""Random draws that are the same on every machine: a fixed method over one fixed stream.

The stream is that of `random.Random(seed).random()`, the one part of Python's generator (Mersenne
Twister) whose numbers are promised to stay the same from version to version; what is made of them
stands here and not in a library that may change its method.

Sources: G. Marsaglia and W. W. Tsang, "A simple method for generating gamma variables", ACM
Transactions on Mathematical Software 26 (2000), 363-372; a beta variable as a share of two gamma
variables is textbook; from memory.
"""

from __future__ import annotations

from math import exp, log, sqrt
from random import Random
from statistics import NormalDist

_NORMAL = NormalDist()


class Draws:
    """One stream of draws.

    Args:
        seed: the same seed gives the same draws.
    """

    def __init__(self, seed: int) -> None:
        self._stream = Random(seed)

    def share(self) -> float:
        """Return a number above 0 and below 1, all alike likely."""
        while not (drawn := self._stream.random()):
            pass
        return drawn

    def happens(self, chance: float) -> bool:
        """Return whether something of this chance happens."""
        return self._stream.random() < chance

    def normal(self) -> float:
        """Return a draw of mean 0 and standard deviation 1."""
        return _NORMAL.inv_cdf(self.share())

    def gamma(self, shape: float) -> float:
        """Return a draw of the gamma distribution of scale 1.

        Args:
            shape: above 0; its mean and its variance.
        """
        if shape < 1:
            return float(self.gamma(shape + 1) * self.share() ** (1 / shape))
        middle = shape - 1 / 3
        width = 1 / sqrt(9 * middle)
        while True:
            z = self.normal()
            grown = (1 + width * z) ** 3
            if grown > 0 and log(self.share()) < z * z / 2 + middle * (1 - grown + log(grown)):
                return middle * grown

    def beta(self, first: float, second: float) -> float:
        """Return a draw between 0 and 1 of mean first / (first + second)."""
        one = self.gamma(first)
        return one / (one + self.gamma(second))

    def factor(self, spread: float) -> float:
        """Return a draw of the log-normal distribution of mean 1.

        Args:
            spread: standard deviation of the logarithm; sqrt(ln(1 + cv squared)) for a coefficient
                of variation.
        """
        return exp(spread * self.normal() - spread * spread / 2) if spread else 1.0
