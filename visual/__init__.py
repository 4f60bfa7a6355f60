"""Hillmast: siting and raising of guyed tilt-up masts on sloped ground.

The package is the whole program; drawing is one room of it (``visual.scene``).
Data flows one way: files, then ground, site and rig, then the model, then raising and
checks, then scene, and last the command line.
"""

__version__ = "0.1.0"
