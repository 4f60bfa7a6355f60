"""Hanging wires: elastic ones with their forces, inextensible ones as shapes."""

from visual.mechanics.catenary.elastic import Catenary, solve_by_length, solve_by_tension
from visual.mechanics.catenary.many import Catenaries, solve_many_by_length
from visual.mechanics.catenary.plain import (
    conductor_points_for_error,
    conductor_shape,
    slack_shape,
)

__all__ = [
    "Catenaries",
    "Catenary",
    "conductor_points_for_error",
    "conductor_shape",
    "slack_shape",
    "solve_by_length",
    "solve_by_tension",
    "solve_many_by_length",
]
