"""Files for other machines: points for a handheld receiver, tables for a spreadsheet."""

from visual.exports.points import write_points_csv, write_points_gpx

__all__ = ["write_points_csv", "write_points_gpx"]
