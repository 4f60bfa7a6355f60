"""Texts of any kind on a sheet: nothing is dropped, nothing leaves its room."""

import io
import unicodedata
from pathlib import Path

import matplotlib as mpl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from visual.sheets import fallback, text
from visual.sheets.fallback import MISSING, Face
from visual.sheets.text import line_height

STIX = Path(mpl.__file__).parent / "mpl-data" / "fonts" / "ttf" / "STIXGeneral.ttf"
ONLY_STIX = "\N{ARC}"  # DejaVu Sans lacks it

HOSTILE = [
    "ordinary",
    "{nb} **bold** __under__ %d \\n (bracket) <b>",
    "Ольгино, Ελλάδα, Łódź, Åå, ½ 3⁄16 ± − ″ ° ≥",
    "\u05e9\u05dc\u05d5\u05dd",
    "tab\tand\nbreak",
    "\x00\x07\ud800 control",
    "\u202e turned round",
    "e\u0301 joined",
    "",
    "   ",
]


def words(content, number=0):
    return " ".join(PdfReader(io.BytesIO(content)).pages[number].extract_text().split())


@pytest.fixture
def no_other_fonts(monkeypatch):
    monkeypatch.setattr(fallback, "system_faces", lambda: ())


@pytest.fixture
def stix_only(monkeypatch):
    monkeypatch.setattr(fallback, "system_faces", lambda: (Face(STIX),))


@pytest.mark.parametrize("line", HOSTILE)
def test_any_text_can_be_written_wrapped_and_turned(line, new_document, no_other_fonts):
    document = new_document(site=line)
    sheet = document.sheet(line)
    sheet.text(20, 20, line, bold=True, halo=0.4)
    sheet.turned_text(60, 60, line, turn=1.0)
    sheet.paragraph(20, 80, 30, line)
    content = document.content()
    assert len(PdfReader(io.BytesIO(content)).pages) == 1
    if line == HOSTILE[1]:
        assert "{nb} **bold** __under__ %d \\n (bracket) <b>" in words(content)


def test_every_font_is_embedded(new_document, stix_only):
    document = new_document()
    document.sheet("One").text(20, 20, f"plain {ONLY_STIX}")
    page = PdfReader(io.BytesIO(document.content())).pages[0]
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    assert len(fonts) == 3  # upright, bold, and the one that was fetched
    for font in fonts:
        (descendant,) = font["/DescendantFonts"]
        described = descendant.get_object()["/FontDescriptor"]
        assert {"/FontFile2", "/FontFile3"} & set(described)


def test_a_letter_the_base_font_lacks_comes_from_another(new_document, stix_only):
    document = new_document()
    document.sheet("One").text(20, 20, f"plain {ONLY_STIX}")
    assert document.letters.missing == []
    assert ONLY_STIX in words(document.content())


def test_a_letter_no_font_has_is_marked_and_told(new_document, no_other_fonts):
    document = new_document()
    document.sheet("One").text(20, 20, f"a {ONLY_STIX} b")
    shown = words(document.content())
    assert f"a {MISSING} b" in shown
    assert "stands for letters that no font of this machine has: U+2312" in shown


def test_bold_text_borrows_letters_from_the_upright_face(new_document, no_other_fonts):
    document = new_document()
    bold = fallback.letters_of(Face(text.font_file(bold=True)))
    plain = fallback.letters_of(Face(text.font_file(bold=False)))
    letter = next(chr(code) for code in sorted(plain - bold) if chr(code).isprintable())
    document.sheet("One").text(20, 20, f"bold {letter}", bold=True)
    assert document.letters.missing == []
    assert letter in words(document.content())


def test_right_to_left_words_keep_their_letters(new_document, no_other_fonts):
    document = new_document()
    document.sheet("One").text(20, 20, "barn \u05e9\u05dc\u05d5\u05dd")
    shown = words(document.content())
    assert set("\u05e9\u05dc\u05d5\u05dd") <= set(shown)
    assert document.letters.missing == []


@given(
    line=st.text(st.characters(codec="utf-8", max_codepoint=0x24F), max_size=60),
    width=st.floats(8.0, 60.0),
)
def test_wrapped_lines_fit_and_lose_nothing(line, width):
    letters = lettering()
    lines = letters.wrap(line, width, 8.0)
    assert all(letters.width(one, 8.0) <= width + 0.1 or len(one) == 1 for one in lines)
    kept = "".join(lines).replace(" ", "")
    expected = letters.printable(unicodedata.normalize("NFC", line).replace("\n", " "))
    assert kept == expected.replace(" ", "")


def lettering():
    if not LETTERS:
        from fpdf import FPDF

        LETTERS.append(text.Lettering(FPDF(unit="mm")))
    return LETTERS[0]


LETTERS: list = []


def test_wrapping_breaks_before_no_mark_that_belongs_to_a_letter():
    letters = lettering()
    word = "x\u0331" * 40  # no single letter stands for the pair
    lines = letters.wrap(word, 10.0, 8.0)
    assert len(lines) > 1
    assert not any(unicodedata.combining(line[0]) for line in lines)


def test_a_line_is_higher_than_its_type():
    assert line_height(8.0) > 8.0 * 25.4 / 72
