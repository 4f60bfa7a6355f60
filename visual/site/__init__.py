"""What a person states about a site: the site file, its data files and its limits."""

from typing import TYPE_CHECKING, Any

from visual.site.data_files import DataState, data_state, file_stamp
from visual.site.feature import Feature
from visual.site.kinds import KIND_RULES, KINDS, Kind
from visual.site.limits import Limit, Limits, Setback
from visual.site.power_line import OverheadLineRule, Requirement, required_clearance
from visual.site.reading import parse_site, read_site, read_site_text
from visual.site.samples import copy_sample, sample_names
from visual.site.sections import TubeSection
from visual.site.site_file import SITE_FILE_NAME, SiteFile
from visual.site.surroundings import read_areas, read_surroundings
from visual.site.survey import Survey, SurveyPoint
from visual.site.survey_reading import read_survey
from visual.site.text import SiteText, replace_file
from visual.site.vector_file import VectorLayer, write_geopackage

if TYPE_CHECKING:
    from visual.site.edit import edit_text
    from visual.site.form import FormField, form_fields, typed_value
    from visual.site.rewrite import BuiltAnchor, write_anchors, write_moved
    from visual.site.schema import json_schema
    from visual.site.site_page import document
    from visual.site.starter import write_starter

__all__ = [
    "KINDS",
    "KIND_RULES",
    "SITE_FILE_NAME",
    "BuiltAnchor",
    "DataState",
    "Feature",
    "FormField",
    "Kind",
    "Limit",
    "Limits",
    "OverheadLineRule",
    "Requirement",
    "Setback",
    "SiteFile",
    "SiteText",
    "Survey",
    "SurveyPoint",
    "TubeSection",
    "VectorLayer",
    "copy_sample",
    "data_state",
    "document",
    "edit_text",
    "file_stamp",
    "form_fields",
    "json_schema",
    "parse_site",
    "read_areas",
    "read_site",
    "read_site_text",
    "read_surroundings",
    "read_survey",
    "replace_file",
    "required_clearance",
    "sample_names",
    "typed_value",
    "write_anchors",
    "write_geopackage",
    "write_moved",
    "write_starter",
]

_LATER = (
    "edit_text",
    "FormField",
    "form_fields",
    "typed_value",
    "BuiltAnchor",
    "write_anchors",
    "write_moved",
    "json_schema",
    "document",
    "write_starter",
)


def __getattr__(name: str) -> Any:
    """Load what writes or explains site files when it is first asked for."""
    if name not in _LATER:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    from visual.site import edit, form, rewrite, schema, site_page, starter

    rooms = (edit, form, rewrite, schema, site_page, starter)
    return next(getattr(room, name) for room in rooms if hasattr(room, name))
