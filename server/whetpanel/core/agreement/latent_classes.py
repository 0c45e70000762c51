"""Dawid and Skene's latent classes: the true class of each unit and each rater's error rates."""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.agreement.ratings import FloatArray, Ratings
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class LatentClasses:
    """What the raters' labels say about the units and about the raters.

    ``categories`` (n_classes,) the values in rising order; ``class_share`` (n_classes,);
    ``posterior`` (n_units, n_classes); ``error_rates`` (n_raters, n_classes, n_classes), row the true
    class, column the one given; a row is NaN-free even for a class no unit is in (it is uniform).
    ``log_likelihood`` leaves out multinomial constants.
    """

    categories: tuple[float, ...]
    class_share: FloatArray
    posterior: FloatArray
    error_rates: FloatArray
    log_likelihood: float
    rounds: int
    converged: bool


def latent_classes(
    ratings: Ratings, *, smoothing: float = 0.0, tolerance: float = 1e-12, max_rounds: int = 5000
) -> LatentClasses:
    """Fit by expectation and maximisation, started from the share of votes.

    Repeats by a rater each count. ``smoothing`` adds that many invented labels to every cell of every
    rater's table; 0 is the published method, where rates of exactly 0 and 1 occur (and are handled).
    Stops when no posterior moves by more than ``tolerance``.

    Only for unordered or few classes: on a half-step scale it has 72 rates a rater to learn and the
    pooling engine is the better tool.

    Raises Invalid when there is no rating or all are the same.

    References
    ----------
    Dawid and Skene, Applied Statistics 28:20–28 (1979).
    """
    categories, code = np.unique(ratings.value, return_inverse=True)
    n_classes, n_units, n_raters = categories.size, len(ratings.units), len(ratings.raters)
    if n_classes < 2:
        raise Invalid("Latent classes need ratings in at least two different classes.")
    votes = np.bincount(ratings.unit * n_classes + code, minlength=n_units * n_classes)
    posterior: FloatArray = votes.reshape(n_units, n_classes) / np.bincount(ratings.unit)[:, None]
    cell = ratings.rater * n_classes + code
    log_likelihood, converged, rounds = -np.inf, False, 0
    share = np.empty(n_classes)
    rates = np.empty((n_raters, n_classes, n_classes))
    while not converged and rounds < max_rounds:
        rounds += 1
        share = posterior.mean(axis=0)
        stacked = np.stack(
            [np.bincount(cell, posterior[ratings.unit, j], n_raters * n_classes) for j in range(n_classes)]
        )  # (true class, rater·given class)
        given = stacked.reshape(n_classes, n_raters, n_classes).transpose(1, 0, 2) + smoothing
        total = given.sum(axis=2, keepdims=True)
        rates = np.divide(given, total, out=np.full_like(given, 1.0 / n_classes), where=total > 0)
        # log 0 is −inf on purpose: an impossible class gets posterior 0. A unit's own labels raised
        # the rates that judge it, so at least one class stays possible.
        with np.errstate(divide="ignore"):
            log_rates, log_share = np.log(rates), np.log(share)
        evidence = np.tile(log_share, (n_units, 1))
        np.add.at(evidence, ratings.unit, log_rates[ratings.rater, :, code])
        top = evidence.max(axis=1, keepdims=True)
        weight = np.exp(evidence - top)
        total_weight = weight.sum(axis=1, keepdims=True)
        new = weight / total_weight
        log_likelihood = float((top + np.log(total_weight)).sum())
        converged = float(np.abs(new - posterior).max()) <= tolerance
        posterior = new
    return LatentClasses(
        categories=tuple(float(c) for c in categories),
        class_share=share,
        posterior=posterior,
        error_rates=rates,
        log_likelihood=log_likelihood,
        rounds=rounds,
        converged=converged,
    )
