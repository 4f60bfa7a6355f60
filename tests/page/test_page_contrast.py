"""Contrast of every text of the page, from what the browser makes of it.

WCAG 2.2, success criterion 1.4.3 (AA): at least 4.5, and 3 for large text, which is at least
24 px, or 18.66 px and bold. Standing: formula and limits from memory.
"""

import pytest

SIZE = {"width": 900, "height": 620}

# Colours of every piece of text that is shown, and of the first opaque ground behind it with all
# clear ones between laid over it. A gradient counts with each of its colours.
FOUND = """() => {
  const numbers = (text) => {
    const found = text.match(/[\\d.]+/g).map(Number);
    return found.length === 3 ? [...found, 1] : found;
  };
  const over = (top, under) => [0, 1, 2].map((k) => top[3] * top[k] + (1 - top[3]) * under[k]);
  const grounds = (element) => {
    const clear = [];
    for (let one = element; one; one = one.parentElement) {
      const style = getComputedStyle(one);
      const colors = style.backgroundImage.includes("gradient")
        ? style.backgroundImage.match(/rgba?\\([^)]*\\)/g).map(numbers)
        : [numbers(style.backgroundColor)];
      if (colors.every((color) => color[3] === 1)) {
        return colors.map((color) => clear.reduceRight((under, top) => over(top, under), color));
      }
      if (colors[0][3] > 0) clear.push(colors[0]);
    }
    return [[255, 255, 255]];
  };
  const light = (color) => {
    const [r, g, b] = color.map((v) => v / 255)
      .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a, b) => {
    const [low, high] = [light(a), light(b)].sort((one, other) => one - other);
    return (high + 0.05) / (low + 0.05);
  };
  const opacity = (element) => {
    let share = 1;
    for (let one = element; one; one = one.parentElement) share *= +getComputedStyle(one).opacity;
    return share;
  };
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || element.closest("script, style")) continue;
    if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
    if (element.closest(":disabled")) continue; // exempt
    const style = getComputedStyle(element);
    const ink = numbers(element.ownerSVGElement ? style.fill : style.color);
    ink[3] *= opacity(element);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && +style.fontWeight >= 700);
    const least = Math.min(
      ...grounds(element).map((ground) => contrast(over(ink, ground), ground)));
    found.push({ text: walker.currentNode.data.trim().slice(0, 40), least, limit: large ? 3 : 4.5,
      of: element.className.baseVal ?? element.className });
  }
  return found;
}"""


@pytest.fixture(scope="module")
def page(chromium, page_file):
    """Return the page without a drawing that takes time: its texts are what is looked at."""
    context = chromium.new_context(viewport=SIZE, reduced_motion="reduce", device_scale_factor=0.5)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    yield page
    context.close()


def faint(page):
    found = page.evaluate(FOUND)
    return len(found), [one for one in found if one["least"] < one["limit"]]


@pytest.mark.parametrize("tab", ["Findings", "Show", "Tape", "Read first"])
def test_every_text_stands_out_from_its_ground(page, tab):
    page.get_by_role("tab", name=tab).click()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    for angle in ("'standing'", "45"):
        page.evaluate(f"hillmast.raise({angle})")
        number, wrong = faint(page)
        assert number > 30
        assert wrong == []


def test_faint_text_is_found(page):
    page.get_by_role("tab", name="Findings").click()
    page.evaluate("document.querySelector('.hm-title').style.color = '#a8a090'")
    page.evaluate("document.querySelector('.hm-count').style.opacity = '0.5'")
    _, wrong = faint(page)
    page.evaluate("document.querySelector('.hm-title').style.color = ''")
    page.evaluate("document.querySelector('.hm-count').style.opacity = ''")
    assert {one["of"] for one in wrong} >= {"hm-title", "hm-count"}
