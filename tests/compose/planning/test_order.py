"""The order of cutting: Smith's rule, support, travel."""

from itertools import permutations
from pathlib import Path

import lk_heuristic
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from canivet.compose.planning.ordering._support import Support, nearness
from canivet.compose.planning.ordering.order import (
    FLOOR,
    best_order,
    measure_order,
    plan_order,
    short_route,
    spanning_length,
)
from canivet.errors import DoesNotFit


def scattered(seed: int, count: int, extent: float = 80.0):
    rng = np.random.default_rng(seed)
    return rng.uniform(0, extent, (count, 2)), rng.lognormal(2, 0.8, count), rng.lognormal(0, 0.5, count)


def worth(order, at, area, delicacy, reach):
    """The support of an order by its definition, pair by pair."""
    total = 0.0
    for k, i in enumerate(order):
        for j in order[k + 1 :]:
            apart = np.hypot(*(at[i] - at[j]))
            if apart <= 3 * reach:
                total += delicacy[i] * area[j] * np.exp(-apart / reach)
    return total


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(2, 6))
def test_no_order_supports_better_than_smiths_and_none_worse_than_its_reverse(seed, count):
    # W. E. Smith, Naval Research Logistics Quarterly 3, 1956; here against every order there is.
    at, area, delicacy = scattered(seed, count)
    every = [worth(order, at, area, delicacy, 15) for order in permutations(range(count))]
    best = best_order(area, delicacy)
    assert worth(best, at, area, delicacy, 15) == pytest.approx(max(every), rel=1e-9)
    assert worth(best[::-1], at, area, delicacy, 15) == pytest.approx(min(every), rel=1e-9)


def test_smiths_order_is_the_best_of_all_40320_orders_of_eight_openings():
    at, area, delicacy = scattered(8, 8)
    support = Support(nearness(at, 15), area, delicacy)
    turns = np.array(list(permutations(range(8))))
    shares = np.array([support.of(turn) for turn in turns])
    best = np.empty(8, int)
    best[best_order(area, delicacy)] = np.arange(8)
    assert shares.max() == pytest.approx(support.of(best), abs=1e-12) == pytest.approx(1)
    assert shares.min() == pytest.approx(0, abs=1e-12)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(3, 40))
def test_support_is_the_share_of_the_way_from_the_worst_order_to_the_best(seed, count):
    at, area, delicacy = scattered(seed, count)
    order = np.random.default_rng(seed).permutation(count)
    best = best_order(area, delicacy)
    high, low, got = (worth(one, at, area, delicacy, 15) for one in (best, best[::-1], order))
    share = measure_order(order, at, area, delicacy, reach=15).support
    expected = (got - low) / (high - low) if high - low > 1e-9 * high else 1.0
    assert share == pytest.approx(expected, abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(1, 60))
def test_every_plan_is_an_order_of_all_openings_that_keeps_its_support(seed, count):
    at, area, delicacy = scattered(seed, count)
    plan = plan_order(at, area, delicacy, reach=15)
    assert sorted(plan.rows.tolist()) == list(range(count))
    measured = measure_order(plan.rows, at, area, delicacy, reach=15)
    assert (measured.support, measured.travel) == pytest.approx((plan.support, plan.travel))
    assert plan.support >= FLOOR


def test_a_plan_travels_less_than_the_best_order_and_supports_better_than_a_short_route():
    at, area, delicacy = scattered(3, 250)
    plan = plan_order(at, area, delicacy, reach=15)
    smith = measure_order(best_order(area, delicacy), at, area, delicacy, reach=15)
    route = measure_order(short_route(at), at, area, delicacy, reach=15)
    assert (smith.support, plan.support) == (pytest.approx(1), pytest.approx(FLOOR, abs=0.01))
    assert plan.travel < 0.35 * smith.travel
    assert route.travel < plan.travel
    assert route.support < 0.7


def test_the_same_openings_are_put_in_the_same_order_every_time():
    at, area, delicacy = scattered(5, 120)
    first, second = (plan_order(at, area, delicacy, reach=15).rows for _ in range(2))
    assert first.tolist() == second.tolist()


def test_where_all_openings_are_alike_only_travel_counts():
    x, y = np.meshgrid(np.arange(8) * 5.0, np.arange(6) * 5.0)
    at = np.column_stack([x.ravel(), y.ravel()])
    plan = plan_order(at, np.full(48, 4.0), np.ones(48), reach=15)
    assert plan.support == 1
    # A grid has a way through all its points as short as its spanning tree.
    assert plan.travel == pytest.approx(1, abs=0.03)


def test_openings_in_a_line_and_openings_on_one_spot_are_put_in_order():
    line = np.column_stack([np.arange(20.0), np.zeros(20)])
    assert plan_order(line, np.ones(20), np.ones(20), reach=15).travel == pytest.approx(1)
    spot = np.zeros((5, 2))
    assert sorted(plan_order(spot, np.ones(5), np.ones(5), reach=15).rows.tolist()) == list(range(5))


def test_travel_is_near_a_published_optimum():
    # a280 of TSPLIB, whose best closed tour is 2579 (Reinelt, ORSA Journal on Computing 3, 1991; the figure from
    # memory), out of the samples of a package that is installed for this test alone. Distances are rounded there.
    text = (Path(lk_heuristic.__file__).parent / "samples/a280.tsp").read_text()
    rows = [line.split() for line in text.splitlines()]
    at = np.array([[float(v) for v in row[1:]] for row in rows if len(row) == 3 and row[0].isdigit()])
    assert len(at) == 280
    route = short_route(at)
    steps = np.rint(np.hypot(*np.diff(at[route], axis=0).T)).sum()
    closing = np.rint(np.hypot(*(at[route[0]] - at[route[-1]])))
    assert spanning_length(at) <= steps
    assert steps <= 1.05 * 2579
    assert 2579 <= steps + closing <= 1.12 * 2579


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(3, 9))
def test_short_routes_of_few_places_are_near_the_shortest_there_is(seed, count):
    # M. Held and R. M. Karp, J. SIAM 10, 1962: the exact shortest open way, by dynamic programming.
    at = np.random.default_rng(seed).uniform(0, 50, (count, 2))
    apart = np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    best = {(1 << k, k): 0.0 for k in range(count)}
    for done in range(1, 1 << count):
        for last in range(count):
            if (done, last) not in best:
                continue
            for after in range(count):
                if not done >> after & 1:
                    key = (done | 1 << after, after)
                    best[key] = min(best.get(key, np.inf), best[done, last] + apart[last, after])
    shortest = min(best[(1 << count) - 1, last] for last in range(count))
    route = short_route(at)
    assert shortest - 1e-9 <= np.hypot(*np.diff(at[route], axis=0).T).sum() <= 1.25 * shortest


def test_a_sheet_too_dense_to_weigh_is_refused_with_what_to_do(monkeypatch):
    monkeypatch.setattr("canivet.compose.planning.ordering._support._MOST_PAIRS", 100)
    with pytest.raises(DoesNotFit, match="Take a shorter reach") as caught:
        nearness(scattered(1, 60)[0], 15)
    assert caught.value.parameter == "reach"
