"""Every step of the raise as comma-separated text, in SI."""

import csv
import io
import math

import numpy as np

from visual.checks.report import Report
from visual.raising.motion import Array


def raise_csv(report: Report, *, first: bool = False) -> str:
    """Return every step as comma-separated text: degrees, metres, newtons, pascals.

    Parameters
    ----------
    report : Report
        The judged model.
    first : bool
        True for the first raise, without the head.
    """
    run = report.forces.bare if first else report.forces.loaded
    columns: dict[str, Array] = {
        "angle_deg": np.degrees(run.angles),
        "travel_m": run.tow.travel,
        "pull_N": run.tow_tension,
        "hitch_N": run.hauling,
        "hitch_going_down_N": run.letting_out,
    }
    for level in range(run.lift_wires.shape[1]):
        columns[f"lift_wire_{level + 1}_N"] = run.lift_wires[:, level]
    columns |= {
        "gin_pole_N": run.gin_compression,
        "gin_pole_Pa": run.gin_stress,
        "hinge_front_N": run.hinge[:, 0],
        "hinge_up_N": run.hinge[:, 1],
        "mast_Nm": run.mast_moment,
        "mast_Pa": run.mast_stress,
        "hold_back_N": run.hold_back,
    }
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in zip(*columns.values(), strict=True):
        writer.writerow(["" if math.isnan(value) else repr(float(value)) for value in row])
    return text.getvalue()
