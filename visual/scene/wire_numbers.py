"""Every wire with a number, and the table that the numbers lead to."""

from collections.abc import Iterator

import numpy as np

from visual.crew.wire_schedule import WireSchedule
from visual.model import Model
from visual.scene.layers import AnyLayer, LabelLayer, TableLayer
from visual.scene.wires import hung_wire
from visual.units import UnitSystem, format_force, format_length

NUMBERED = "only:wires"
"""Group of what the wire picture alone shows."""

_SHARES = tuple(np.linspace(0.18, 0.82, 17))
"""Where along a wire, from its anchor, its number may stand."""

_LIKED = 0.45


def number_layers(model: Model, schedule: WireSchedule) -> Iterator[AnyLayer]:
    """Return a number for every wire, in the order of the schedule, and the table."""
    for number, row in enumerate(schedule.rows, start=1):
        path = hung_wire(model, row.wire)
        for share in _SHARES:
            yield LabelLayer(
                role="label",
                group=NUMBERED,
                name=f"wire {row.wire.name}",
                text=str(number),
                at=path[round(share * (len(path) - 1))],
                priority=12 - 0.3 * abs(float(share) - _LIKED),
                label_kind="number",
                choice=f"wire {number}",
                over=True,
            )
    for side, anchor in model.anchors.items():
        yield LabelLayer(
            role="label",
            group=NUMBERED,
            name=f"{side} anchor",
            text=f"{side} anchor",
            at=anchor.eye,
            priority=8,
        )
    yield wire_table(schedule, model.site.site.units)


def wire_table(schedule: WireSchedule, units: UnitSystem) -> TableLayer:
    """Return number, wire, cut length and tension of every wire."""
    rows = [
        (
            str(number),
            row.wire.name,
            format_length(row.wire.cut_length, units, decimals=3),
            format_force(row.balanced_tension, units),
        )
        for number, row in enumerate(schedule.rows, start=1)
    ]
    standing = "Provisional: cut after the anchors are measured. " if schedule.provisional else ""
    return TableLayer(
        role="label",
        group=NUMBERED,
        name="wires",
        title="Wires",
        head=("", "wire", "cut length", "tension"),
        rows=tuple(rows),
        note=f"{standing}Tension at the anchor that keeps the mast plumb.",
    )
