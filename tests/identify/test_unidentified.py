"""What readings cannot tell is told, always, and what they can tell is not doubted."""

from hypothesis import given, settings
from hypothesis import strategies as st

from simtent.identify import Parameter, Prior, Problem, fit, unidentified

from .rooms import TRUTH, problem, room, with_errors

SIZE = st.floats(-2.0, 2.0).map(lambda e: 10.0**e)


@given(st.sampled_from(sorted(TRUTH)), SIZE, st.booleans(), st.integers(0, 99))
@settings(max_examples=8)
def test_two_numbers_in_one_product_are_always_flagged(name, first, quotient, seed):
    def build(values):
        other = 1.0 / values["second"] if quotient else values["second"]
        return room({k: v for k, v in values.items() if k in TRUTH} | {name: values["first"] * other})

    second = first / TRUTH[name] if quotient else TRUTH[name] / first
    other = "loss" if name != "loss" else "wall"
    truth = {"first": first, "second": second, other: TRUTH[other]}
    exactly = problem(tuple(truth), step=600.0, build=build, truth=truth)
    told = unidentified(fit(with_errors(exactly, 0.2, 600.0, seed), starts=1))
    assert [one.names for one in told.confounded] == [("first", "second")]
    assert told.confounded[0].products == ("first/second" if quotient else "first*second",)


def test_numbers_that_can_be_found_are_not_flagged():
    told = unidentified(fit(with_errors(problem(("loss", "wall", "lag")), 0.05, 300.0, seed=0), starts=1))
    assert told.confounded == () and told.at_prior == () and told.at_bound == ()


def test_powers_are_named():
    def build(values):
        return room({"loss": values["a"] * values["b"] ** 2 / 10.0})

    truth = {"a": 4.0, "b": 10.0}
    told = unidentified(fit(problem(tuple(truth), build=build, truth=truth), starts=1))
    assert told.words() == ("a and b cannot be found separately: only a*b^2 can be found.",)


def test_a_number_without_a_trace_and_one_at_its_prior():
    def build(values):
        return room({"loss": values["loss"]})

    truth = TRUTH | {"idle": 3.0, "guess": 5.0}
    free = problem(("loss", "idle", "guess"), build=build, truth=truth, priors={"guess": Prior(5.5, 0.3)})
    found = fit(free, starts=1)
    assert unidentified(found).words() == (
        "idle cannot be found: the readings hardly change with it.",
        "guess cannot be found: the readings hardly change with it.",
        "guess stays at its prior: the readings say next to nothing of it.",
    )
    assert abs(found.values["guess"] - 5.5) < 1e-3
    assert abs(found.deviations()["guess"] - 0.3) < 1e-6


def test_a_direction_that_no_product_names_is_described():
    def build(values):
        return room({"loss": values["a"] + values["b"]})

    truth = {"a": 10.0, "b": 30.0}
    told = unidentified(
        fit(problem(tuple(truth), build=build, truth=truth, off=1.0001), starts=1)
    ).confounded[0]
    assert told.names == ("a", "b") and told.products == ()
    assert told.words().endswith("the readings hardly change with a up by 10 % and b down by 3.3 %.")


def test_pairs_that_act_alike_are_named():
    def build(values):
        return room({"loss": values["a"] + values["b"], "lag": 120.0 * (values["b"] / 30.0) ** 0.1})

    truth = {"a": 10.0, "b": 30.0}
    told = unidentified(fit(problem(tuple(truth), build=build, truth=truth, noise=0.001), starts=1))
    assert told.confounded == ()
    assert [pair[:2] for pair in told.pairs] == [("a", "b")]


def test_a_number_at_its_bound_is_named():
    free = problem(("loss", "wall"))
    tight = Parameter("loss", 20.0, high=30.0)
    found = fit(Problem((tight, free.parameters[1]), room, free.columns), starts=1)
    assert "loss ended at its bound: its interval means little." in unidentified(found).words()


def test_a_product_is_told_however_small_the_noise():
    def build(values):
        return room({"loss": values["area"] * values["per_area"]})

    truth = {"area": 20.0, "per_area": 2.0}
    free = problem(tuple(truth), step=600.0, build=build, truth=truth, noise=1e-9, off=1.01)
    assert unidentified(fit(free, starts=1)).words() == (
        "area and per_area cannot be found separately: only area*per_area can be found.",
    )


def test_a_number_that_noise_hides_is_told():
    told = unidentified(fit(problem(("loss",), step=600.0, noise=60.0, off=1.01), starts=1))
    assert told.words() == ("loss cannot be found: the readings hardly change with it.",)


def test_a_pair_inside_a_group_of_products_is_named_too():
    """Of three numbers two products are known, and these act nearly alike: the loss, and a lag that hardly differs."""

    def build(values):
        a, b = values["a"] * values["c"], values["b"] * values["c"]
        return room({"loss": a + b, "lag": 120.0 * (b / 30.0) ** 0.1})

    truth = {"a": 10.0, "b": 30.0, "c": 1.0}
    told = unidentified(fit(problem(tuple(truth), build=build, truth=truth, noise=0.001, off=1.01), starts=1))
    assert [one.products for one in told.confounded] == [("a*c", "b*c")]
    assert ("a", "b") in [pair[:2] for pair in told.pairs]
