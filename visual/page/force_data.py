"""Forces on mast and gin pole as plain data: one row of arrows for each angle of the tables."""

import math

import numpy as np

from visual.checks import Report
from visual.model import Model
from visual.page.approach_data import BARE, WITH_HEAD
from visual.page.packing import Json, Numbers, pack_exact, pack_whole
from visual.raising import RaiseRun
from visual.scene.force_arrows import LEAST
from visual.scene.force_key import short_scale
from visual.scene.force_scale import round_newtons_per_metre
from visual.scene.forces import Force, forces_at, forces_of
from visual.units import UnitSystem

_SAME = 1e-9  # two angles nearer than this are one [rad]
_SYSTEMS: tuple[UnitSystem, ...] = ("metric", "imperial")


def forces_data(report: Report, angles: Numbers) -> Json | None:
    """Return the arrows at every angle [rad] of the tables; None if no force is known.

    Arrows are sent as forces; how long they are drawn is one round scale for each system of units.
    """
    scales = {system: round_newtons_per_metre(report, system) for system in _SYSTEMS}
    if not all(math.isfinite(scale) for scale in scales.values()):
        return None
    forces = report.forces
    runs = {WITH_HEAD: ("with the head", forces.loaded)}
    if forces.bare is not forces.loaded:
        runs[BARE] = ("first raise, without the head", forces.bare)
    rows = {key: _by_force(report.model, run, angles) for key, (_, run) in runs.items()}
    kinds = {key: found[0][1] for each in rows.values() for key, found in each.items()}
    return {
        "newtonsPerMetre": scales,
        "scale": {system: short_scale(scales[system], system) for system in _SYSTEMS},
        "least": LEAST,
        "runs": [
            {
                "key": key,
                "word": word,
                # a force that is not known at all has a table too, so that the page can say so
                "forces": [
                    _table(kind, rows[key].get(name, []), len(angles))
                    for name, kind in kinds.items()
                ],
            }
            for key, (word, _) in runs.items()
        ],
    }


def _by_force(model: Model, run: RaiseRun, angles: Numbers) -> dict[str, list[tuple[int, Force]]]:
    """Return each force of a raise with the rows of the tables in which it is known."""
    rows: dict[str, list[tuple[int, Force]]] = {}
    for row, found in enumerate(_rows(model, run, angles)):
        for force in found:
            rows.setdefault(force.key, []).append((row, force))
    return rows


def _rows(model: Model, run: RaiseRun, angles: Numbers) -> list[list[Force]]:
    """Return the forces at angles: those of the steps where they are steps."""
    nearest = np.abs(run.angles - angles[:, None]).argmin(axis=1)
    is_step = np.abs(run.angles[nearest] - angles) < _SAME
    steps = iter(forces_of(model, run, nearest[is_step].tolist()))
    first = float(run.angles[0])
    found: list[list[Force]] = []
    for angle, known in zip(map(float, angles), is_step, strict=True):
        if known:
            found.append(next(steps))
        elif angle < first:
            found.append([])
        else:
            found.append(forces_at(model, angle, with_head=run.with_head))
    return found


def _table(kind: Force, found: list[tuple[int, Force]], rows: int) -> Json:
    """Return one force at every angle; NaN where it is not known."""
    table = np.full((rows, 6), math.nan)
    names = sorted({force.name for _, force in found}) or [kind.key]
    name_at = np.zeros(rows, dtype=int)
    for row, force in found:
        table[row] = [*force.at, *force.vector]
        name_at[row] = names.index(force.name)
    return {
        "key": kind.key,
        "names": names,
        "nameAt": pack_whole(name_at),
        "pushes": kind.pushes,
        "inside": kind.inside,
        "table": pack_exact(table),
    }
