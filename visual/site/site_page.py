"""The page docs/site_file.md, written from the same records that read a site file."""

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from visual.site.kinds import KIND_RULES, PROPERTIES
from visual.site.limits import LIMIT_MEANINGS, Limits
from visual.site.limits_section import LimitsSection
from visual.site.power_line import CLEARANCE_TABLES
from visual.site.problems import without_none
from visual.site.quantity import Quantity
from visual.site.reader import Reader
from visual.site.site_file import SiteFile
from visual.site.site_page_text import INTRODUCTION, SURROUNDINGS_NOTE, SURVEY_NOTE
from visual.site.starter import starter_text
from visual.site.survey_codes import CODE_WORDS
from visual.site.survey_table import SPELLINGS
from visual.units import (
    DENSITY_UNITS,
    FORCE_UNITS,
    LENGTH_UNITS,
    MASS_PER_LENGTH_UNITS,
    MASS_UNITS,
    STRESS_UNITS,
)


def document() -> str:
    """Return the page on the site file, in Markdown."""
    parts = [
        INTRODUCTION,
        "## Units\n",
        _units(),
        "## An example\n",
        "This is what `hillmast new` writes around a DEM.\n",
        f"```toml\n{_example()}```\n",
        "## Every key\n",
        *_sections(SiteFile, ""),
        "## Limits and their sources\n",
        _limits(),
        "## Clearance to overhead lines\n",
        _clearances(),
        "## The surroundings file\n",
        SURROUNDINGS_NOTE,
        _kinds(),
        _table(("property", "meaning"), PROPERTIES.items(), code=True),
        "## The survey file\n",
        SURVEY_NOTE,
        _survey(),
    ]
    return "\n".join(parts)


def _example() -> str:
    return starter_text(
        name="Larkrise, top field",
        dem="ground.tif",
        survey=None,
        crs="EPSG:32630",
        position=(553210.0, 5912480.0),
    )


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]], *, code: bool = False) -> str:
    """Return a Markdown table; with `code` the first cells are set as code."""
    lines = [f"| {' | '.join(head)} |", f"|{' --- |' * len(head)}"]
    for first, *rest in rows:
        cells = [f"`{first}`" if code and first else first, *rest]
        lines.append(f"| {' | '.join(cell.replace('|', '&#124;') for cell in cells)} |")
    return "\n".join(lines) + "\n"


def _units() -> str:
    tables: dict[str, Mapping[str, float]] = {
        "length": LENGTH_UNITS,
        "mass": MASS_UNITS,
        "mass per length": MASS_PER_LENGTH_UNITS,
        "force": FORCE_UNITS,
        "stress, modulus": STRESS_UNITS,
        "density": DENSITY_UNITS,
    }
    rows = [
        (name, next(iter(units)), ", ".join(f"`{unit}`" for unit in units))
        for name, units in tables.items()
    ]
    return _table(("quantity", "a bare number is in", "units of texts"), rows)


def _sections(record: type[BaseModel], place: str) -> Iterator[str]:
    """Yield a heading, a sentence and a table of keys for a record and for each below it."""
    keys = []
    below: dict[type[BaseModel], list[str]] = {}
    for name, field in record.model_fields.items():
        key = field.alias or name
        table, brackets = _record_of(field)
        if table is None:
            keys.append((key, _form(field), _default(field), field.description or ""))
        else:
            below.setdefault(table, []).append(brackets.format(f"{place}{key}"))
    if keys:
        head = ("key", "written as", "if left out", "meaning")
        yield _table(head, keys, code=True)
    for table, headings in below.items():
        yield f"### {', '.join(f'`{heading}`' for heading in headings)}\n"
        yield f"{_first_sentence(table)}\n"
        yield from _sections(table, f"{headings[0].strip('[]')}.")


def _first_sentence(record: type[BaseModel]) -> str:
    return (record.__doc__ or "").strip()


def _record_of(field: FieldInfo) -> tuple[type[BaseModel] | None, str]:
    """Return the record of a table and how its heading is written; None for a plain value."""
    kind: Any = without_none(field.annotation)
    heading = "[{}]"
    if get_origin(kind) is tuple and get_args(kind)[-1] is Ellipsis:
        kind, heading = get_args(kind)[0], "[[{}]]"
    elif get_origin(kind) is Mapping:
        kind, heading = get_args(kind)[1], "[{}.NAME]"
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind, heading
    return None, ""


def _form(field: FieldInfo) -> str:
    reader = reader_of(field)
    if reader:
        return _form_of(reader)
    kind = without_none(field.annotation)
    if kind is bool:
        return "true or false"
    if get_origin(kind) is tuple:
        inner = next(one for one in get_args(get_args(kind)[0]) if isinstance(one, Reader))
        return f"list of two: {_form_of(inner)}"
    return ", ".join(f'`"{choice}"`' for choice in get_args(kind))


def _form_of(reader: Reader) -> str:
    form = reader.form
    if isinstance(reader, Quantity):  # its units stand in the table at the top
        form = "angle in degrees" if reader.number_unit == "degrees" else reader.noun
    return ", ".join(part for part in (form, reader.bounds) if part)


def reader_of(field: FieldInfo) -> Reader | None:
    """Return what reads a field, also where it stands inside ``X | None``."""
    nested = getattr(without_none(field.annotation), "__metadata__", ())
    return next((one for one in (*field.metadata, *nested) if isinstance(one, Reader)), None)


def _unit(field: FieldInfo) -> str:
    reader = reader_of(field)
    unit = reader.number_unit if isinstance(reader, Quantity) else ""
    return f" {unit}" if unit else ""


def _default(field: FieldInfo) -> str:
    extra = field.json_schema_extra
    origin = extra.get("x-source") if isinstance(extra, dict) else None
    if field.is_required():
        return "needed"
    if field.default is None or field.default is PydanticUndefined:
        return "–"
    shown = f"{field.default:g}" if isinstance(field.default, float) else str(field.default)
    shown = shown.lower() if isinstance(field.default, bool) else shown + _unit(field)
    return f"{shown} ({origin})" if origin else shown


def _limits() -> str:
    defaults = Limits()
    rows = [
        (name, _limit_value(name, getattr(defaults, name).value), getattr(defaults, name).basis)
        for name in LIMIT_MEANINGS
    ]
    return _table(("key", "default", "source"), rows, code=True)


def _limit_value(name: str, value: Any) -> str:
    if value is None:
        return "follows from the rig"
    if isinstance(value, tuple):
        return ", ".join(f"{math.degrees(one):g}" for one in value) + " degrees"
    unit = _unit(LimitsSection.model_fields[name])
    return f"{math.degrees(value) if 'degrees' in unit else value:g}{unit}"


def _clearances() -> str:
    parts = [
        "Every line counts as live. Unknown voltage: 20 ft (6.096 m). "
        "Above 1000 kV no table gives a distance: ask the owner of the line.\n"
    ]
    for name, table in CLEARANCE_TABLES.items():
        note = f" {table.note}." if table.note else ""
        parts.append(f'`table = "{name}"`: {table.source}.{note}\n')
        rows = [
            (f"up to {highest:g} kV", f"{distance:.3f} m ({distance / 0.3048:.1f} ft)")
            for highest, distance in table.rows
        ]
        parts.append(_table(("voltage", "distance"), rows))
    return "\n".join(parts)


def _kinds() -> str:
    rows = [
        (kind, " or ".join(rule.shapes), ", ".join(rule.needs), ", ".join(rule.may), rule.meaning)
        for kind, rule in KIND_RULES.items()
    ]
    return _table(("kind", "drawn as", "needs", "may have", "meaning"), rows, code=True)


def _survey() -> str:
    columns = [(name, ", ".join(words)) for name, words in SPELLINGS.items()]
    codes = [(name, ", ".join(words)) for name, words in CODE_WORDS.items()]
    return "\n".join(
        [
            _table(("column", "spellings"), columns, code=True),
            _table(("a point of", "code begins with"), codes, code=True),
        ]
    )
