/** Elements of the page. Texts are always set as text, so that no name can become markup. */

type Content = Node | string;

export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  className = "",
  ...content: Content[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  if (className) made.className = className;
  made.append(...content);
  return made;
}

export function button(word: string, press: () => void, className = "hm-button"): HTMLButtonElement {
  const made = element("button", className, word);
  made.type = "button";
  made.addEventListener("click", press);
  return made;
}

/** A box to tick, with its word. */
export function tick(word: Content, on: boolean, changed: (on: boolean) => void): HTMLLabelElement {
  const box = element("input");
  box.type = "checkbox";
  box.checked = on;
  box.addEventListener("change", () => changed(box.checked));
  return element("label", "hm-tick", box, word);
}

/** A few choices of which one holds; arrow keys move between them. */
export function choice<T extends string>(
  title: string,
  options: readonly (readonly [T, string])[],
  chosen: T,
  changed: (value: T) => void,
): HTMLFieldSetElement {
  const set = element("fieldset", "hm-choice", element("legend", "", title));
  const name = `hm-${title.replace(/\W/g, "")}`;
  for (const [value, word] of options) {
    const radio = element("input");
    radio.type = "radio";
    radio.name = name;
    radio.value = value;
    radio.checked = value === chosen;
    radio.addEventListener("change", () => changed(value));
    set.append(element("label", "", radio, element("span", "", word)));
  }
  return set;
}

export function select(
  title: string,
  options: readonly string[],
  changed: (value: string) => void,
): { label: HTMLLabelElement; field: HTMLSelectElement } {
  const field = element("select", "hm-select");
  for (const option of options) {
    const one = element("option", "", option);
    one.value = option;
    field.append(one);
  }
  field.addEventListener("change", () => changed(field.value));
  return { label: element("label", "hm-field", title, field), field };
}

const SVG = "http://www.w3.org/2000/svg";

export function svg(
  tag: string,
  attributes: Record<string, string | number>,
  ...content: Content[]
): SVGElement {
  const made = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, `${value}`);
  made.append(...content);
  return made;
}

/** True if the user does not want things to move by themselves. */
export function calm(): boolean {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}
