"""Weighed draws against closed forms; draws that do not stand for the density are refused."""

import math

import numpy as np
import pytest
from scipy.stats import genpareto

from simtent.identify.resampling import UntrustedError, drawn, pareto, resampled, smoothed

from .curves import BEND, COVARIANCE, THIN, banana, bell, cauchy, wide


@pytest.mark.parametrize("shape", [-0.4, 0.0, 0.3, 0.6, 0.9, 1.5])
def test_the_shape_of_a_tail_as_a_library_fits_it(shape):
    """SciPy's maximum of likelihood is another estimate, 0.03 from it at 3,000 draws; the pull to 0.5 taken off."""
    over = np.sort(genpareto.rvs(shape, scale=2.0, size=3000, random_state=1))
    found, scale = pareto(over)
    library, _, width = genpareto.fit(over, floc=0.0)
    assert (3010.0 * found - 5.0) / 3000.0 == pytest.approx(library, abs=0.03)
    assert scale == pytest.approx(width, rel=0.05)


@pytest.mark.parametrize("rate", [1.25, 2.0, 5.0])
def test_the_shape_of_weights_that_are_a_pareto_distribution(rate):
    """An exponential of rate 1 drawn by one of a larger rate: weights of the exact shape 1 - 1 / rate."""
    shapes = []
    for seed in range(20):
        x = np.random.default_rng(seed).exponential(1.0 / rate, 4000)
        shapes.append(smoothed((rate - 1.0) * x)[1])
    assert np.mean(shapes) == pytest.approx(1.0 - 1.0 / rate, abs=0.04)


def test_smoothing_keeps_order_and_what_is_no_tail():
    logs = np.random.default_rng(3).normal(0.0, 2.0, 1000)
    out, _ = smoothed(logs)
    tail = math.ceil(3.0 * math.sqrt(1000))
    order = np.argsort(logs)
    assert out[order[:-tail]] == pytest.approx((logs - logs.max())[order[:-tail]])
    assert np.all(np.diff(out[order]) >= 0.0) and out.max() <= 0.0


def test_the_effective_number_of_a_wider_bell_curve():
    """Normal drawn s times too wide: the mean of squared weights is s / sqrt(2 - 1 / s^2)."""
    found = resampled(lambda x: -0.5 * x[:, 0] ** 2, np.zeros(1), np.array([[1.69]]), wide(1), 20000)
    assert found.effective / 20000 == pytest.approx(math.sqrt(2.0 - 1.0 / 1.69) / 1.3, rel=0.01)
    assert found.trusted and found.shape < 0.1


def test_a_bell_curve_drawn_by_itself_has_even_weights():
    found = resampled(bell, np.zeros(3), COVARIANCE, wide(3), 4000, wanted=4000 - 1)
    assert found.trusted and found.shape == -math.inf
    assert "they weigh alike" in found.words()[0]
    assert np.cov(found.draws(4000).T) == pytest.approx(COVARIANCE, abs=0.25)


def test_a_banana_that_heavy_tails_cover():
    found = resampled(
        banana, np.array([0.0, 1.5]), np.diag([2.0, 20.0]), wide(2), 40000, wanted=2000, freedom=5.0, seed=5
    )
    assert found.trusted, found.words()
    x, y = found.draws(20000).T
    assert (np.mean(x), np.var(x)) == (pytest.approx(0.0, abs=0.06), pytest.approx(1.0, abs=0.08))
    assert (np.mean(y), np.var(y)) == (
        pytest.approx(BEND, abs=0.12),
        pytest.approx(2.0 * BEND**2 + THIN**2, rel=0.12),
    )


def test_a_banana_drawn_by_the_bell_curve_at_its_bend_is_refused():
    found = resampled(banana, np.zeros(2), np.diag([1.0, THIN**2]), wide(2), 4000, wanted=100)
    assert not found.trusted
    with pytest.raises(UntrustedError, match="cannot be trusted"):
        found.draws(10)


def test_bounds_cut_the_bell_curve():
    """A normal above 0 has mean sqrt(2 / pi)."""
    bounds = (np.zeros(1), np.full(1, 9.0))
    found = resampled(lambda x: -0.5 * x[:, 0] ** 2, np.zeros(1), np.eye(1) * 1.2, bounds, 8000, seed=2)
    points = found.draws(8000)
    assert np.all(points >= 0.0)
    assert np.mean(points) == pytest.approx(math.sqrt(2.0 / math.pi), abs=0.02)


@pytest.mark.parametrize("seed", range(5))
def test_a_target_with_heavy_tails_is_refused(seed):
    """Laplace's covariance at the top of it is one half."""
    found = resampled(cauchy, np.zeros(3), 0.5 * np.eye(3), wide(3, 1e6), 4000, seed=seed)
    assert found.shape > found.limit and not found.trusted
    assert "a few of them outweigh all others" in found.words()[0]


def test_too_few_effective_draws_are_refused():
    found = resampled(bell, np.zeros(3), 2.0 * COVARIANCE, wide(3), 200, wanted=300)
    assert "count as" in found.words()[0] and "300 were asked for" in found.words()[0]
    with pytest.raises(UntrustedError):
        found.draws(10)


@pytest.mark.parametrize(("n", "limit"), [(100, 0.5), (1000, 2.0 / 3.0), (100000, 0.7)])
def test_few_draws_bear_less_of_a_tail(n, limit):
    assert resampled(bell, np.zeros(3), COVARIANCE, wide(3), n).limit == pytest.approx(limit)


def test_draws_without_a_density_count_nothing():
    def half(points):
        return np.where(points[:, 0] > 0.0, bell(points), -np.inf)

    found = resampled(half, np.zeros(3), COVARIANCE, wide(3), 2000)
    assert found.trusted and np.all(found.draws(500)[:, 0] > 0.0)
    assert found.words()[-1] == f"{found.failed} of 2000 draws had no density and count nothing."
    none = resampled(lambda x: np.full(len(x), -np.inf), np.zeros(3), COVARIANCE, wide(3), 200)
    assert not none.trusted and none.effective == 0.0


def test_what_stands_for_one_in_twenty_is_no_tail():
    few = resampled(
        lambda x: np.where(np.arange(len(x)) % 50 == 0, 0.0, -np.inf), np.zeros(1), np.eye(1), wide(1), 1000
    )
    assert not few.trusted


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"n": 99}, "too few"),
        ({"covariance": np.diag([1.0, 1.0, np.inf])}, "finite"),
        ({"covariance": np.zeros((3, 3))}, "positive"),
        ({"bounds": (np.full(3, 90.0), np.full(3, 91.0))}, "hardly any"),
        ({"densities": lambda x: np.full(len(x), np.nan)}, "a number or -inf"),
        ({"densities": lambda x: np.zeros(3)}, "densities are needed"),
    ],
)
def test_what_cannot_be_drawn_is_refused(change, match):
    good = {"densities": bell, "centre": np.zeros(3), "covariance": COVARIANCE, "bounds": wide(3), "n": 100}
    with pytest.raises(ValueError, match=match):
        resampled(**(good | change))


def test_more_are_drawn_while_they_are_good_but_too_few():
    found = resampled(bell, np.zeros(3), 2.0 * COVARIANCE, wide(3), 200, wanted=300, most=2000)
    assert (
        found.trusted
        and len(found.points) in (400, 600)
        and len(np.unique(found.points)) == 3 * len(found.points)
    )
    hopeless = resampled(cauchy, np.zeros(3), 0.5 * np.eye(3), wide(3, 1e6), 4000, wanted=1e4, most=10**6)
    assert len(hopeless.points) == 4000


def test_further_rounds_mend_a_wrong_centre_and_covariance():
    once, often = (
        resampled(bell, np.array([1.0, 3.0, 0.5]), 0.3 * np.eye(3), wide(3), 2000, wanted=1000, rounds=k)
        for k in (1, 5)
    )
    assert not once.trusted and often.trusted, often.words()
    assert np.cov(often.draws(4000).T) == pytest.approx(COVARIANCE, abs=0.4)


@pytest.mark.parametrize("freedom", [np.inf, 7.0])
@pytest.mark.parametrize("p", [1, 3, 6])
def test_draws_that_find_more_than_they_were_drawn_with_are_refused(p, freedom):
    """The shape alone passes some of these, which no draw in the tails has told it of."""
    for seed in range(6):
        found = resampled(
            cauchy, np.zeros(p), 0.5 * np.eye(p), wide(p, 1e6), 4000, seed=seed, freedom=freedom
        )
        assert not found.trusted and found.grown > 2.0
        assert any("times the variance" in sentence for sentence in found.words())


def test_a_seed_repeats_its_draws():
    first, second = (drawn(np.zeros(3), COVARIANCE, wide(3), 50, freedom=4.0, seed=8)[0] for _ in "ab")
    assert np.array_equal(first, second)


def test_the_density_of_what_is_drawn():
    """Multivariate t of 4 degrees of freedom, as SciPy has it, up to a constant."""
    from scipy.stats import multivariate_t  # noqa: PLC0415

    points, logs = drawn(np.zeros(3), COVARIANCE, wide(3, 1e6), 200, freedom=4.0)
    apart = logs - multivariate_t(np.zeros(3), COVARIANCE, df=4.0).logpdf(points)
    assert np.ptp(apart) < 1e-9
