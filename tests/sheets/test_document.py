"""What every sheet carries, and that the same set is the same file."""

import datetime as dt
import io

import pytest
from pypdf import PdfReader

from visual.sheets.paper import PAPERS


def pages(content):
    return PdfReader(io.BytesIO(content)).pages


def words(page):
    return " ".join(page.extract_text().split())


def small_set(document, count=3):
    for number in range(count):
        document.sheet(f"Title {number}", scale="1:200").text(20, 20, f"body {number}")
    return document.content()


def test_every_sheet_has_its_number_title_scale_date_revision_and_cautions(new_document):
    document = new_document(site="Long field", revision="B – anchors moved")
    for number, page in enumerate(pages(small_set(document))):
        shown = words(page)
        for part in (
            "Long field", f"Title {number}", "1:200", "2026-05-01", "B – anchors moved",
            f"{number + 1} of 3", "Planning aid, not a stamped design",
            "Keep everybody out of the fall zone", "Treat every overhead line as live",
            "Never stand under or in line with a loaded rope", "Move one front wire at a time",
        ):  # fmt: skip
            assert part in shown


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_of_their_paper(paper, new_document):
    (page,) = pages(small_set(new_document(paper), 1))
    size = (float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72)
    assert size == pytest.approx((PAPERS[paper].width, PAPERS[paper].height), abs=0.01)


def test_the_same_set_is_the_same_file_and_another_date_another(new_document):
    one, other = (small_set(new_document()) for _ in range(2))
    assert one == other
    assert PdfReader(io.BytesIO(one)).metadata.creation_date.date() == dt.date(2026, 5, 1)
    assert small_set(new_document(revision="C")) != one


def test_a_warning_stands_on_every_sheet(new_document):
    content = small_set(new_document(warning="DO NOT RAISE LIKE THIS: 2 findings say STOP."))
    assert all("DO NOT RAISE LIKE THIS" in words(page) for page in pages(content))


def test_a_site_name_of_several_lines_is_whole_and_a_novel_is_cut_with_dots(new_document):
    name = "Hof am Hang hinter der Kirche, Flurstück 1234/56, Gemarkung Oberhausen, Baufeld 7"
    assert name in words(pages(small_set(new_document(site=name), 1))[0])
    assert "…" in words(pages(small_set(new_document(site="wordy " * 200), 1))[0])
