"""One HTML file with scene, viewer and everything else in it; it asks the network for nothing."""

import base64
import hashlib
import html
import json
import zlib
from collections.abc import Callable
from pathlib import Path

from visual.checks import Report
from visual.errors import InputError
from visual.page.bundle import Bundle, read_bundle
from visual.page.packing import Json

_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover,
 interactive-widget=resizes-content">
<meta name="referrer" content="no-referrer">
<title>{title}</title>
<style>{style}</style>
</head>
<body>
<div id="hillmast-page"></div>
<noscript>This page draws with a script of its own; allow it, or ask for pictures.</noscript>
<script type="application/octet-stream" id="hillmast-data">{data}</script>
<script>{script}</script>
</body>
</html>
"""


def write_page(
    report: Report, path: Path, *, progress: Callable[[str], None] | None = None
) -> Path:
    """Write the page of a judged model; the file is replaced whole or not at all.

    Parameters
    ----------
    report : Report
        The judged model.
    path : Path
        The HTML file.
    progress : callable or None
        Told what goes on.

    Raises
    ------
    InputError
        If it cannot be written there.
    DrawingError
        If the viewer has not been built.
    """
    from visual.page.data import PageMaker

    bundle = read_bundle()
    if progress is not None:
        progress("making the scene …")
    text = page_text(PageMaker(report).data(), bundle)
    beside = path.with_name(path.name + ".part")
    try:
        beside.write_text(text, encoding="utf-8", newline="\n")
        beside.replace(path)
    except OSError as error:
        rule = f"cannot be written: {error.strerror}"
        raise InputError.one(
            file=str(path), key="", value=None, rule=rule, way_out="choose another place"
        ) from None
    return path


def page_text(data: Json, bundle: Bundle) -> str:
    """Return the page: the same bytes for the same data and viewer."""
    script, style = closed(bundle.script), closed(bundle.style)
    return _PAGE.format(
        policy=policy(script, style),
        title=html.escape(f"{data['site']['name']} – Hillmast"),
        style=style,
        data=packed_json(data),
        script=script,
    )


def policy(script: str, style: str) -> str:
    """Return what the page may do: run its own script, use its own style, draw pictures in it."""
    return (
        f"default-src 'none'; script-src '{_digest(script)}'; style-src '{_digest(style)}'; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )


def packed_json(data: Json) -> str:
    """Return data as JSON, deflated, in base64: no text in it can be anything but data."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode("ascii")


def closed(text: str) -> str:
    """Return a script or style with nothing in it that ends its own element."""
    return text.strip().replace("</", "<\\/")


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
