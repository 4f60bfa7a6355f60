"""Hanging wires: elastic ones with their forces, inextensible ones as shapes."""

from visual.mechanics.catenary.elastic import Catenary, solve_by_length, solve_by_tension
from visual.mechanics.catenary.plain import (
    conductor_points_for_error,
    conductor_shape,
    slack_shape,
)

__all__ = [
    "Catenary",
    "conductor_points_for_error",
    "conductor_shape",
    "slack_shape",
    "solve_by_length",
    "solve_by_tension",
]
