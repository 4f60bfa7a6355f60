"""All forces of the raise as one complete record.

Everything stands still at every step (quasi-static).  Not in it: jerks, wind along the raising
plane, ice, a line that lies on the ground, soil, the foundation, and whatever the mast carries that
is not in the site file.  What is assumed stands at the top of each module ``forces_…`` and
``weights`` of this room.
"""

import math
from dataclasses import dataclass

import numpy as np

from visual.model import Model, installed_wire
from visual.raising.analysis import Raise, raise_angles
from visual.raising.forces_across import AcrossLoads, loads_across
from visual.raising.forces_hand import HandWalk, walk_pole_up
from visual.raising.forces_run import RaiseRun, run_raise
from visual.raising.forces_side import WireOnTheWay, wire_on_the_way
from visual.raising.forces_vehicle import VehiclePull, vehicle_pull
from visual.raising.tow import tow_path


@dataclass(frozen=True)
class RaiseForces:
    """The forces of the raise.

    Parameters
    ----------
    loaded : RaiseRun
        The raise with all that is mounted.
    bare : RaiseRun
        The first raise, without the head, from its own start angle; the same record as `loaded`
        where there is no head.
    hand : HandWalk
        Walking the gin pole up.
    wires : tuple of WireOnTheWay
        Side and back wires on the way.
    across : AcrossLoads
        Gust and lane off line.
    vehicle : VehiclePull or None
        Pull of the vehicle for the loaded raise; None for a winch.
    vehicle_bare : VehiclePull or None
        The same for the first raise.
    catch : float or None
        Tension of the top back wire if the mast is let go at the balance and the wire stops it
        upright; None where it never goes over by itself. [N]
    """

    loaded: RaiseRun
    bare: RaiseRun
    hand: HandWalk
    wires: tuple[WireOnTheWay, ...]
    across: AcrossLoads
    vehicle: VehiclePull | None
    vehicle_bare: VehiclePull | None
    catch: float | None

    @property
    def runs(self) -> tuple[RaiseRun, ...]:
        """The raises, each once."""
        return (self.loaded,) if self.bare is self.loaded else (self.loaded, self.bare)

    @property
    def known(self) -> bool:
        """True if every force of the raises is known."""
        return all(bool(np.isfinite(run.mast_stress).all()) for run in self.runs)


def analyse_forces(model: Model, raised: Raise) -> RaiseForces:
    """Work out the forces of a raise.

    Parameters
    ----------
    model : Model
        The mast on its site.
    raised : Raise
        Its geometry.
    """
    has_head = model.rig.mast.head is not None
    loaded = run_raise(model, raised.tow, with_head=has_head)
    bare = loaded
    if has_head:
        path = tow_path(model, raise_angles(raised.start.without_head))
        bare = run_raise(model, path, with_head=False)
    changes = raised.side_wires + raised.back_wires
    vehicle = vehicle_pull(model, loaded)
    return RaiseForces(
        loaded=loaded,
        bare=bare,
        hand=walk_pole_up(model, lift_off_pull=float(loaded.tow_tension[0])),
        wires=tuple(wire_on_the_way(model, change) for change in changes),
        across=loads_across(model, loaded),
        vehicle=vehicle,
        vehicle_bare=vehicle if bare is loaded else vehicle_pull(model, bare),
        catch=_catch(model, loaded),
    )


def _catch(model: Model, run: RaiseRun) -> float | None:
    """Return the tension that stops the mast if it falls from its balance to upright. [N]

    What it falls by goes into stretching the wire: ``T = S + √(S² + 2 k E)`` with the tension S
    that holds it at rest and the stiffness k of the straight wire; R. J. Roark, Formulas for
    Stress and Strain, chapter on dynamic loading (from memory).  Mast and anchor do not give.
    """
    if run.balance_angle is None:
        return None
    over = run.angles >= run.balance_angle
    angles = np.concatenate([[run.balance_angle], run.angles[over]])
    moment = np.concatenate([[0.0], -run.weight_moment[over]])
    energy = float(np.sum(np.diff(angles) * (moment[1:] + moment[:-1]) / 2))
    wire = installed_wire(model, "back", len(model.rig.mast.collars) - 1)
    stiffness = wire.shape.stiffness / wire.straight_length
    at_rest = float(run.hold_back[-1])
    return at_rest + math.sqrt(at_rest**2 + 2 * stiffness * energy)
