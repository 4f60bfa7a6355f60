"""Starting a site: where the base may stand at first is read from the ground data."""

from pathlib import Path

from visual.ground import dem_place


def start_site(
    folder: Path, *, dem: Path | None = None, survey: Path | None = None, crs: str | None = None
) -> Path:
    """Start a site folder around a DEM or a survey and return its site file.

    Parameters
    ----------
    folder : Path
        Made if it does not exist. The data file is copied into it.
    dem, survey : Path or None
        The ground data; one of them.
    crs : str or None
        CRS of a survey's coordinates; None for a local grid. A DEM names its own.

    Raises
    ------
    InputError
        If something is in the way or a file cannot be used.
    """
    from visual.site import write_starter  # here, as what only reads sites need not load it

    if dem is None:
        return write_starter(folder, survey=survey, crs=crs or "local")
    place = dem_place(dem)
    return write_starter(folder, dem=dem, crs=place.crs, position=(place.easting, place.northing))
