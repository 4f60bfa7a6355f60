"""A session that keeps what an edit does not change says the same as one that keeps nothing."""

import functools
import random
import tomllib
from pathlib import Path

import pytest

from visual.app.kept_work import KeptWork, made_of, zone_made_of
from visual.app.sketch import sketch
from visual.app.work_out import work_out
from visual.checks import find_fall_zone
from visual.checks.clearance import certified_minima_of_all
from visual.errors import HillmastError
from visual.model import ModelLoader, load_model
from visual.raising import analyse_forces, analyse_raise
from visual.site import data_state, edit_text, read_site_text

SAMPLES = Path(__file__).parents[2] / "sample_sites"
EDITS = ("hill_paddock/site.toml", 2), ("terrace/site.toml", 2), ("flat_yard/site.toml", 4)


def one_edit(text, chance):
    """Return keys of the site file with new values: of one kind, by chance."""
    site = tomllib.loads(text)
    x, y = site["mast"]["position"]
    if isinstance(x, str):
        x, y = (float(value.removesuffix(" ft")) for value in (x, y))
        unit = " ft"
    else:
        unit = ""
    side = chance.choice(("front", "right", "back", "left"))
    step = chance.uniform
    return chance.choice(
        [
            lambda: (
                {"mast.position": [f"{v + step(-2, 2):.2f}{unit}" for v in (x, y)]}
                if unit
                else {"mast.position": [round(v + step(-2, 2), 2) for v in (x, y)]}
            ),
            lambda: {f"anchors.{side}.radius": f"{step(7, 11):.2f} m"},
            lambda: {f"anchors.{side}.turn": round(step(-8, 8), 1)},
            lambda: {"anchors.radius": f"{step(7, 11):.2f} m"},
            lambda: {"mast.front": round(step(0, 359), 1)},
            lambda: {"mast.hinge_height": f"{step(0.2, 0.6):.2f} m"},
            lambda: {"gin_pole.length": f"{step(4, 7):.2f} m"},
            lambda: {"gin_pole.angle": round(step(84, 96), 1)},
            lambda: {"tow.line_length": f"{step(12, 24):.2f} m"},
            lambda: {"tow.hitch_height": f"{step(0.4, 0.8):.2f} m"},
            lambda: {"tow.through_front_anchor": not site["tow"]["through_front_anchor"]},
            lambda: {"tow.vehicle_mass": f"{step(900, 3000):.0f} kg"},
            lambda: {"limits.tree_clearance": f"{step(1, 5):.2f} m"},
            lambda: {"limits.trestle": f"{step(0.3, 1.2):.2f} m"},
            lambda: {"limits.ground_clearance": f"{step(0.1, 0.6):.2f} m"},
            lambda: {"tension.share_of_breaking": round(step(0.05, 0.15), 3)},
        ]
    )()


def walk(name, *, steps, seed):
    """Yield the answers of a warm session along random edits, each beside a cold one."""
    path, chance = SAMPLES / name, random.Random(seed)
    first = path.read_text(encoding="utf-8")
    loader, kept = ModelLoader(), KeptWork()
    answer = work_out(read_site_text(first, path=path), loader, version=1, text=first, kept=kept)
    texts, version = [first], 1
    while version <= steps:
        changes = one_edit(texts[-1], chance)
        text = edit_text(texts[-1], changes, file=path.name)
        if chance.random() < 0.2 and len(texts) > 1:  # as undo does
            text, changes = texts[-2], "back to the text before"
        site = read_site_text(text, path=path)
        try:
            cold = work_out(site, ModelLoader(), version=version + 1, text=text)
        except HillmastError:
            continue
        version += 1
        texts.append(text)
        model = loader.load(site)
        raised = kept.raise_of(model)
        quick = sketch(model, answer, version=version, data=data_state(site), raised=raised)
        answer = work_out(site, loader, version=version, text=text, sketched=quick, kept=kept)
        yield changes, answer, cold


@pytest.mark.parametrize(("name", "steps"), EDITS)
def test_every_answer_of_a_warm_session_is_that_of_a_cold_one_to_the_last_bit(name, steps):
    for changes, warm, cold in walk(name, steps=steps, seed=2026):
        assert warm.results == cold.results, changes
        assert warm.data == cold.data


def test_a_search_is_made_again_for_what_has_changed_and_for_nothing_else(monkeypatch):
    searched = []

    def noted(parts, shapes, *, spans, only=None):
        searched.append("ground" if shapes[0].kind == "ground" else "what stands around")
        return certified_minima_of_all(parts, shapes, spans=spans, only=only)

    monkeypatch.setattr("visual.checks.kept_minima.certified_minima_of_all", noted)
    path = SAMPLES / "flat_yard/site.toml"
    text, loader, kept = path.read_text(encoding="utf-8"), ModelLoader(), KeptWork()
    for changes, again in (
        ({}, None),
        ({}, set()),
        ({"limits.tree_clearance": "3 m", "tow.vehicle_mass": "1600 kg"}, set()),
        ({"tow.line_length": "12.5 m"}, {"what stands around", "ground"}),
        ({"anchors.left.radius": "7 m"}, {"what stands around"}),
        ({"anchors.left.radius": None}, set()),
    ):
        searched.clear()
        text = edit_text(text, changes, file=path.name)
        site = read_site_text(text, path=path)
        work_out(site, loader, version=1, text=text, kept=kept)
        assert again is None or set(searched) == again, changes


class Watched:
    """Stands for a record, and notes which of its parts were read."""

    def __init__(self, record, name, read, *, deeper=()):
        self.parts = record, name, read, deeper

    def __getattr__(self, part):
        record, name, read, deeper = self.parts
        place, made = f"{name}.{part}", vars(type(record)).get(part)
        if place not in deeper and isinstance(made, property | functools.cached_property):
            return (made.fget if isinstance(made, property) else made.func)(self)
        found = getattr(record, part)
        if place in deeper:
            return Watched(found, place, read, deeper=deeper)
        read.add(place)
        return found


@pytest.mark.parametrize("name", ["hill_paddock", "terrace"])
def test_the_raise_and_its_forces_read_no_more_of_a_model_than_they_are_kept_by(name):
    model, read = load_model(SAMPLES / name), set()
    watched = Watched(model, "model", read, deeper=("model.site", "model.site.limits"))
    analyse_forces(watched, analyse_raise(watched))
    assert {"model.rig", "model.anchors"} < read
    assert read <= {
        "model.ground",
        "model.rig",
        "model.anchors",
        "model.site.limits.trestle",
        "model.site.limits.head_clearance",
    }
    assert len(made_of(model)) == 5


def test_the_fall_zones_read_no_more_of_a_model_than_they_are_kept_by():
    model, read = load_model(SAMPLES / "hill_paddock"), set()
    deeper = ("model.rig", "model.site", "model.site.limits")
    find_fall_zone(Watched(model, "model", read, deeper=deeper))
    assert read == {"model.ground", "model.rig.mast", "model.site.limits.fall_zone_times"}
    assert len(zone_made_of(model)) == 3
