"""What a person states about a site: the site file, its data files and its limits."""

from visual.site.kinds import KIND_RULES, KINDS, Kind
from visual.site.limits import Limit, Limits, Setback
from visual.site.power_line import OverheadLineRule, Requirement, required_clearance
from visual.site.reading import parse_site, read_site
from visual.site.site_file import SITE_FILE_NAME, SiteFile

__all__ = [
    "KINDS",
    "KIND_RULES",
    "SITE_FILE_NAME",
    "Kind",
    "Limit",
    "Limits",
    "OverheadLineRule",
    "Requirement",
    "Setback",
    "SiteFile",
    "parse_site",
    "read_site",
    "required_clearance",
]
