"""Whatever stands in a site file, reading it gives a record or problems, and nothing else."""

import copy
import datetime as dt
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from visual.errors import InputError
from visual.site import SiteFile, parse_site, read_site

scalars = st.one_of(
    st.booleans(),
    st.integers(),
    st.sampled_from([10**400, -(10**400), 0, -1]),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(
        ["12 m", "-3 ft", "1e999 m", "5 kg", "local", "EPSG:4326", "../x", "\0", "guy"]
    ),
    st.dates(),
    st.datetimes(),
    st.times(),
)
values = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.text(max_size=6) | st.sampled_from(["wall", "count"]), inner, max_size=3
        )
    ),
    max_leaves=6,
)


def places(node: Any, here: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [here] if here else []
    children = (
        node.items()
        if isinstance(node, dict)
        else enumerate(node)
        if isinstance(node, list)
        else ()
    )
    for key, value in children:
        found += places(value, (*here, key))
    return found


def site_or_problems(data: dict[str, Any]) -> SiteFile | InputError:
    try:
        return parse_site(data, file="site.toml")
    except InputError as caught:
        error = caught
    assert error.problems
    assert all(problem.rule and problem.way_out and str(problem) for problem in error.problems)
    return error


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_any_value_anywhere(data: st.DataObject, example_text: str) -> None:
    tables = tomllib.loads(example_text)
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.sampled_from(places(tables)))
        node: Any = tables
        for key in place[:-1]:
            node = node[key]
        action = data.draw(st.sampled_from(["change", "change", "remove", "add"]))
        if action == "change":
            node[place[-1]] = data.draw(values)
        elif action == "remove":
            del node[place[-1]]
        elif isinstance(node, dict):
            node[data.draw(st.text(max_size=8))] = data.draw(values)
        if not places(tables):
            break
    site_or_problems(tables)


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.sampled_from([*SiteFile.model_fields, "limits", "x"]), values, max_size=8)
)
def test_any_tables(tables: dict[str, Any]) -> None:
    assert isinstance(site_or_problems(tables), InputError)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None
)
@given(
    st.binary(max_size=80) | st.text(max_size=80).map(lambda text: text.encode(errors="replace"))
)
def test_any_bytes(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "site.toml").write_bytes(content)
    with pytest.raises(InputError):
        read_site(tmp_path)


def test_the_data_are_not_changed(example_text: str) -> None:
    tables = tomllib.loads(example_text)
    tables["mast"]["front"] = dt.time(12)
    before = copy.deepcopy(tables)
    assert isinstance(site_or_problems(tables), InputError)
    assert tables == before
