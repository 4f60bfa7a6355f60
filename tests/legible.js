// What of a page is hard to read, or to hit with a finger, from what the browser makes of it.
//
// Contrast: WCAG 2.2, success criterion 1.4.3 (AA): at least 4.5, and 3 for large text, which is at
// least 24 px, or 18.66 px and bold; not for what is out of use. Relative luminance as defined
// there, with 0.04045 as since May 2021: w3c.github.io/wcag/understanding/relative-luminance.html.
// Weights, exponent and contrast ratio: the same definition as reprinted in several places.
// Targets: success criterion 2.5.8 (AA): at least 24 by 24 CSS pixels, or so much room around that
// circles of 24 px on their middles do not meet. Standing: read, in stored copies and reprints.
(() => {
  const numbers = (text) => {
    const found = text.match(/[\d.]+/g).map(Number);
    return found.length === 3 ? [...found, 1] : found;
  };
  const over = (top, under) => [0, 1, 2].map((k) => top[3] * top[k] + (1 - top[3]) * under[k]);
  const DRAWN = [[255, 255, 255], [34, 32, 30]]; // behind what stands on the drawing: sky to mast
  // Colours of the first opaque ground behind an element with all clear ones between laid over it.
  // A gradient counts with each of its colours.
  const grounds = (element) => {
    const clear = [];
    const laid = (color) => clear.reduceRight((under, top) => over(top, under), color);
    for (let one = element; one; one = one.parentElement) {
      if (one.classList.contains("hm-scene")) return DRAWN.map(laid);
      const style = getComputedStyle(one);
      const colors = style.backgroundImage.includes("gradient")
        ? style.backgroundImage.match(/rgba?\([^)]*\)/g).map(numbers)
        : [numbers(style.backgroundColor)];
      if (colors.every((color) => color[3] === 1)) return colors.map(laid);
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
  const shown = (element) => element.checkVisibility({ opacityProperty: true, visibilityProperty: true });

  const texts = () => {
    const found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const element = walker.currentNode.parentElement;
      if (!walker.currentNode.data.trim() || element.closest("script, style, option")) continue;
      if (!shown(element) || element.closest(":disabled")) continue;
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
  };

  const targets = () => {
    const all = [...document.querySelectorAll("button, a[href], input, select, summary, [role=slider]")]
      .map((element) => (element.matches("[type=radio], [type=checkbox]") ? element.closest("label") ?? element : element))
      .filter((element) => shown(element) && !element.matches(":disabled"));
    const boxes = all.map((element) => element.getBoundingClientRect());
    const small = (box) => box.width < 23.9 || box.height < 23.9;
    const middle = (box) => [box.x + box.width / 2, box.y + box.height / 2];
    const away = ([x, y], box) => Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
    const crowded = (box) => boxes.some((other) => {
      if (other === box) return false;
      const [p, q] = [middle(box), middle(other)];
      return small(other) ? Math.hypot(p[0] - q[0], p[1] - q[1]) < 24 : away(p, other) < 12;
    });
    return all.map((element, k) => ({ of: element.className, text: element.textContent.slice(0, 30),
      width: boxes[k].width, height: boxes[k].height, wrong: small(boxes[k]) && crowded(boxes[k]) }));
  };

  // A phone enlarges the page when a field with letters smaller than 16 px gets the focus (as known
  // of the browsers of one maker; no published source).
  const zooming = () => [...document.querySelectorAll("input, select")]
    .filter((one) => shown(one) && !one.matches("[type=radio], [type=checkbox], [type=range], [type=file]"))
    .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16)
    .map((one) => one.dataset.key ?? one.className);

  return { texts: texts(), targets: targets(), zooming: zooming() };
})
