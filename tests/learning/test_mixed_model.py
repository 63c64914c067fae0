"""The mixed model against statsmodels (REML, predictions) and against plain integration."""

import math
from typing import Any

import numpy as np
import pytest
from tests.learning.shops import Pair

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.cells import gather
from kerfsmith.learning.mixed_model import MixedModel
from kerfsmith.learning.posterior import LEVEL_SD, SCATTER_SD, SCATTER_SPREAD, Asked, learn
from kerfsmith.learning.reml import reml

NESTED = (("grade",), ("grade", "saw"))
CROSSED = (("grade",), ("saw",), ("grade", "saw"))


def _records(seed: int, count: int) -> list[Pair]:
    rng = np.random.default_rng(seed)
    grades = {f"g{n}": rng.normal(0, 0.15) for n in range(8)}
    saws = {f"s{n}": rng.normal(0, 0.12) for n in range(5)}
    both = {(grade, saw): rng.normal(0, 0.1) for grade in grades for saw in saws}
    found: list[Pair] = []
    for _ in range(count):
        grade, saw = f"g{int(8 * rng.random() ** 2)}", f"s{rng.integers(5)}"
        value = 0.1 + grades[grade] + saws[saw] + both[grade, saw] + rng.normal(0, 0.12)
        found.append(({"grade": grade, "saw": saw}, float(value)))
    return found


def _statsmodels(records: list[Pair], parts: dict[str, str]) -> Any:
    pandas = pytest.importorskip("pandas")
    formulas = pytest.importorskip("statsmodels.formula.api")
    frame = pandas.DataFrame([{**named, "y": value, "all": 1} for named, value in records])
    frame["both"] = frame["grade"] + "/" + frame["saw"]
    model = formulas.mixedlm("y ~ 1", frame, groups="all", re_formula="0", vc_formula=parts)
    # Its own default stops a little short of the top; a simplex search goes on to it.
    return model.fit(reml=True, method=["lbfgs", "nm"], maxiter=3000)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(
    ("groupings", "parts"),
    [
        (NESTED, {"grade": "0 + C(grade)", "both": "0 + C(both)"}),
        (CROSSED, {"both": "0 + C(both)", "grade": "0 + C(grade)", "saw": "0 + C(saw)"}),
    ],
)
def test_estimates_and_predictions_are_those_of_statsmodels(
    groupings: tuple[tuple[str, ...], ...], parts: dict[str, str]
) -> None:
    """Source: statsmodels 0.14 or later, MixedLM, on the same records."""
    records = _records(3, 300)
    theirs = _statsmodels(records, parts)
    ours = reml(MixedModel(gather(("grade", "saw"), records), groupings, 0.25))
    names = {("grade",): "grade", ("saw",): "saw", ("grade", "saw"): "both"}
    found = dict(zip(theirs.model.exog_vc.names, theirs.vcomp, strict=True))
    for grouping, variance in ours.variances.items():
        assert variance == pytest.approx(found[names[grouping]], rel=5e-3)
    assert ours.scatter == pytest.approx(theirs.scale, rel=1e-3)
    assert ours.general == pytest.approx(theirs.fe_params["Intercept"], abs=2e-4)
    assert ours.general_se == pytest.approx(theirs.bse_fe["Intercept"], rel=5e-3)
    predicted = theirs.random_effects[1]
    checked = 0
    for grouping, effects in ours.effects.items():
        for level, effect in effects.items():
            label = f"{names[grouping]}[C({names[grouping]})[{'/'.join(level)}]]"
            assert effect == pytest.approx(predicted[label], abs=5e-4)
            checked += 1
    assert checked >= 40


def test_slope_of_the_likelihood_is_that_of_its_values() -> None:
    """Source: the definition of a derivative, central differences."""
    cells = gather(("grade", "saw"), _records(5, 60))
    for general_sd in (None, 0.25):
        model = MixedModel(cells, CROSSED, general_sd)
        at = np.log([0.1, 0.05, 0.2, 0.15])
        _, slope = model.likelihood(at)
        for place in range(4):
            aside = np.zeros(4)
            aside[place] = 1e-5
            rise = (model.likelihood(at + aside)[0] - model.likelihood(at - aside)[0]) / 2e-5
            assert slope[place] == pytest.approx(rise, rel=1e-5, abs=1e-6)


def test_average_over_variances_is_that_of_plain_integration() -> None:
    """Source: the same posterior summed over a fine grid, straight from the normal densities of the
    records.
    """
    records = [({"grade": "a"}, v) for v in (0.10, 0.22, 0.15)] + [({"grade": "b"}, v) for v in (-0.05, 0.02)]
    records += [({"grade": "c"}, 0.3)]
    values = np.array([value for _, value in records])
    alike = np.equal.outer([n["grade"] for n, _ in records], [n["grade"] for n, _ in records]).astype(float)
    weights, means, squares = [], [], []
    for tau in np.exp(np.linspace(-9, 1.5, 120)):
        for sigma in np.exp(np.linspace(-5, 0.5, 120)):
            whole = 0.25**2 + tau**2 * alike + sigma**2 * np.eye(len(values))
            pulled = np.linalg.solve(whole, values)
            prior = math.log(tau) - math.log1p((tau / LEVEL_SD) ** 2)
            prior -= 0.5 * ((math.log(sigma / SCATTER_SD)) / SCATTER_SPREAD) ** 2
            weights.append(-0.5 * np.linalg.slogdet(whole)[1] - 0.5 * values @ pulled + prior)
            cover = 0.25**2 + tau**2 * alike[0]
            mean = cover @ pulled
            means.append(mean)
            squares.append(0.25**2 + tau**2 - cover @ np.linalg.solve(whole, cover) + mean**2)
    shares = np.exp(np.array(weights) - max(weights))
    shares /= shares.sum()
    mean = float(shares @ np.array(means))
    sd = math.sqrt(float(shares @ np.array(squares)) - mean**2)
    posterior = learn(MixedModel(gather(("grade",), records), (("grade",),), 0.25), points=600)
    (found,) = posterior.answer([Asked(levels=(("a",),))])
    assert found.mean == pytest.approx(mean, abs=0.02 * sd)
    assert found.sd == pytest.approx(sd, rel=0.03)


def test_few_records_stay_near_what_is_general() -> None:
    """One wild cut of a grade moves its factor little; twenty such cuts move it almost all the way."""
    usual = [({"grade": f"g{n % 5}"}, 0.2 * math.sin(37 * n)) for n in range(100)]

    def of_new(count: int) -> float:
        new = [({"grade": "new"}, 0.5 + 0.05 * math.cos(37 * n)) for n in range(count)]
        posterior = learn(MixedModel(gather(("grade",), usual + new), (("grade",),), 0.25))
        (found,) = posterior.answer([Asked(levels=(("new",),))])
        return found.mean

    assert 0 < of_new(1) < 0.25
    assert of_new(1) < of_new(3) < of_new(20)
    assert of_new(20) == pytest.approx(0.5, abs=0.06)


def test_the_interval_is_where_the_chances_are() -> None:
    """Source: the definition of a quantile, and the library's normal distribution for a single one."""
    posterior = learn(MixedModel(gather(("grade",), _records(4, 30)), (("grade",),), 0.25))
    (found,) = posterior.answer([Asked(levels=(("g0",),))])
    low, high = found.interval()
    assert found.share_below(low) == pytest.approx(0.05, abs=1e-6)
    assert found.share_below(high) == pytest.approx(0.95, abs=1e-6)


def test_a_model_without_records_or_fields_is_refused() -> None:
    with pytest.raises(InvalidValue, match="needs observations"):
        MixedModel(gather(("grade",), []), (("grade",),), 0.25)
    with pytest.raises(InvalidValue, match="no saw"):
        MixedModel(gather(("grade",), [({"grade": "a"}, 0.1)]), (("saw",),), 0.25)
    with pytest.raises(InvalidValue, match="lacks saw"):
        gather(("saw",), [({"grade": "a"}, 0.1)])
