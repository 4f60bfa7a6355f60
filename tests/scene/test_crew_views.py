"""The stake-out and the wire picture say what the crew's records say."""

import numpy as np
import pytest

from visual.crew.stake import peg, stake_out
from visual.crew.wire_schedule import wire_schedule
from visual.scene.layers import DimensionLayer, LabelLayer, TableLayer
from visual.scene.picture import make_picture
from visual.scene.stake_layers import STAKED
from visual.scene.wire_numbers import NUMBERED
from visual.units import format_angle, format_force, format_length

EVERY = ["paddock", "moved", "terrace", "yard"]


def of(maker, name, group, kind):
    return [x for x in maker(name).fixed if x.group == group and isinstance(x, kind)]


@pytest.mark.parametrize("name", EVERY)
def test_words_beside_an_anchor_are_those_of_the_stake_out(maker, judged, name):
    report = judged(name)
    units = report.model.site.site.units
    words = {x.name: x.text for x in of(maker, name, STAKED, LabelLayer)}
    for anchor in stake_out(report.model, report.raised.start).anchors:
        text = words[f"{anchor.side} anchor"]
        assert f"{format_angle(anchor.bearing_grid)} grid" in text
        known = anchor.bearing_magnetic
        compass = "magnetic unknown" if known is None else f"{format_angle(known)} magnetic"
        assert compass in text
        assert f"{format_length(anchor.horizontal, units)} level" in text
        assert f"{format_length(anchor.straight, units)} straight" in text


@pytest.mark.parametrize("name", EVERY)
def test_every_tape_runs_from_peg_to_peg_and_says_its_length(maker, judged, name):
    model = judged(name).model
    units = model.site.site.units
    drawn = {x.name: x for x in of(maker, name, STAKED, DimensionLayer)}
    assert len(drawn) == 10
    for line in drawn.values():
        away = float(np.linalg.norm(line.end - line.start))
        assert line.text == format_length(away, units)
    np.testing.assert_array_equal(drawn["base – left"].end, peg(model, "left"))


@pytest.mark.parametrize("name", EVERY)
def test_the_table_of_wires_is_the_schedule(maker, judged, name):
    model = judged(name).model
    units = model.site.site.units
    (table,) = of(maker, name, NUMBERED, TableLayer)
    rows = wire_schedule(model).rows
    assert [row[0] for row in table.rows] == [str(n + 1) for n in range(len(rows))]
    for cells, row in zip(table.rows, rows, strict=True):
        cut = format_length(row.wire.cut_length, units, decimals=3)
        assert cells[1:] == (row.wire.name, cut, format_force(row.balanced_tension, units))
    numbers = {x.text for x in of(maker, name, NUMBERED, LabelLayer) if x.label_kind == "number"}
    assert numbers == {row[0] for row in table.rows}


@pytest.mark.picture
@pytest.mark.parametrize("view", ["stakeout", "wires"])
def test_they_are_drawn(maker, shots, view):
    shot = shots("terrace")[view]
    image = make_picture(maker("terrace").at(None), shot.view, width=640, height=400)
    assert len(np.unique(np.asarray(image).reshape(-1, 3), axis=0)) > 50
