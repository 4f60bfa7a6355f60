"""The readings of the sample sites are what their generator makes, and show what they should."""

import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from visual.checks import assess, results_document
from visual.crew.as_built import as_built, as_built_model
from visual.crew.plumb import plumb
from visual.crew.plumb_readings import read_plumb_readings
from visual.crew.readings import read_readings
from visual.crew.results import as_built_results, crew_results, plumb_results
from visual.model import Model, load_model

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
CREW_PAGE = SAMPLES.parent / "docs" / "crew.md"


def load_generator() -> ModuleType:
    """Load ``make_readings.py``, which belongs to no package."""
    spec = importlib.util.spec_from_file_location("make_readings", SAMPLES / "make_readings.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


GENERATOR = load_generator()
SITES = {
    "flat_yard": (SAMPLES / "flat_yard", GENERATOR.YARD),
    "hill_paddock": (SAMPLES / "hill_paddock" / "site_moved.toml", GENERATOR.HILL),
    "terrace": (SAMPLES / "terrace", GENERATOR.TERRACE),
}


@pytest.fixture(scope="module", params=sorted(SITES))
def sample(request) -> tuple[str, Model]:
    return request.param, load_model(SITES[request.param][0])


def test_readings_are_made_again_byte_for_byte(tmp_path):
    GENERATOR.main(tmp_path)
    made = sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*.csv"))
    assert len(made) == 7
    for path in made:
        assert (tmp_path / path).read_bytes() == (SAMPLES / path).read_bytes()


def survey_of(name, model):
    path = SAMPLES / name / "asbuilt.csv"
    return as_built(model, read_readings(path, units=model.site.site.units), file=str(path))


def test_survey_finds_the_invented_places(sample):
    name, model = sample
    survey = survey_of(name, model)
    assert survey.trustworthy
    assert len(survey.anchors) == 4
    off = []
    for anchor in survey.anchors:
        away = anchor.eye - np.array(SITES[name][1][anchor.side])
        off += list(np.abs(away) / np.sqrt(np.diag(anchor.covariance)))
        assert anchor.accuracy < 0.02
    assert max(off) < 3.5
    assert not as_built_model(model, survey).provisional


def test_mast_of_the_sample_comes_plumb(sample):
    name, model = sample
    found = plumb(model, read_plumb_readings(SAMPLES / name / "plumb.csv", model))
    assert found.agree
    assert not found.is_plumb
    assert found.top_after < 0.003
    assert found.rounds.never_loose
    assert found.per_turn_stated
    assert all(wire.room for wire in found.wires)


def keys(node: object):
    if isinstance(node, dict):
        yield from node
        for value in node.values():
            yield from keys(value)
    elif isinstance(node, list | tuple):
        for value in node:
            yield from keys(value)


def test_every_key_of_the_crews_results_is_explained():
    model = load_model(SAMPLES / "flat_yard")
    report = assess(model)
    readings = read_plumb_readings(SAMPLES / "flat_yard" / "plumb.csv", model)
    survey = survey_of("flat_yard", model)
    documents = [
        crew_results(report),
        as_built_results(as_built_model(model, survey), survey),
        plumb_results(plumb(model, readings)),
    ]
    page = CREW_PAGE.read_text(encoding="utf-8")
    assert not [key for key in dict.fromkeys(keys(documents)) if f"`{key}`" not in page]
    assert not set(crew_results(report)) & set(results_document(report))
