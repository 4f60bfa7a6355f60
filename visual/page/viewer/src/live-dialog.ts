/** A dialog of the live view: it says what is wrong in place and stays open until it is right. */

import { button, element } from "./dom.ts";
import type { Refused } from "./live-api.ts";

export interface Question {
  name: string;
  label: string;
  value: string;
  hint?: string;
  /** May be left empty. */
  optional?: boolean;
}

export interface Asked {
  title: string;
  about?: string;
  questions: Question[];
  /** Word of the button that does it. */
  go: string;
  /** Do it; what comes back is what is wrong, or null if it is done. */
  act: (values: Record<string, string>) => Promise<Wrong | null>;
}

/** What is wrong, and with which answer; with none of them if the key names none. */
export interface Wrong {
  words: string;
  key: string;
}

/** Why something was refused, for the dialog that asked for it. */
export function wrongOf(error: Refused): Wrong {
  return { words: error.message, key: error.problems[0]?.key ?? "" };
}

/** Ask in a dialog that keeps the focus, and gives it back; Escape leaves without doing anything. */
export function ask(asked: Asked): void {
  const dialog = element("dialog", "hm-live-dialog");
  const wrong = element("p", "hm-live-wrong");
  wrong.id = "hm-live-dialog-wrong";
  wrong.setAttribute("role", "alert");
  const title = element("h2", "", asked.title);
  title.id = "hm-live-dialog-title";
  dialog.setAttribute("aria-labelledby", title.id);
  const inputs = new Map(asked.questions.map((one) => [one.name, input(one, wrong.id)]));
  const go = element("button", "hm-button", asked.go);
  go.type = "submit";
  const form = element(
    "form",
    "",
    title,
    ...(asked.about ? [element("p", "", asked.about)] : []),
    ...asked.questions.map((one) => row(one, inputs.get(one.name) as HTMLInputElement)),
    wrong,
    element("div", "hm-live-answers", go, button("Cancel", () => dialog.close())),
  );
  form.noValidate = true;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void submit();
  });
  dialog.append(form);
  dialog.addEventListener("close", () => {
    dialog.remove();
    if (before instanceof HTMLElement && before.isConnected) before.focus();
  });
  const before = document.activeElement;
  document.body.append(dialog);
  dialog.showModal();
  const [first] = inputs.values();
  first?.select();

  async function submit(): Promise<void> {
    const empty = asked.questions.find((one) => !one.optional && !inputs.get(one.name)?.value.trim());
    if (empty) return complain(`${empty.label}: must not be empty; type one, or cancel.`, empty.name);
    go.disabled = true;
    const values = Object.fromEntries([...inputs].map(([name, field]) => [name, field.value.trim()]));
    const found = await asked.act(values);
    go.disabled = false;
    if (!found) return dialog.close();
    const meant = asked.questions.find(({ name }) => name === found.key || found.key.endsWith(`.${name}`));
    const only = asked.questions.length === 1 ? asked.questions[0] : undefined;
    complain(found.words, (meant ?? only)?.name ?? "");
  }

  function complain(words: string, name: string): void {
    wrong.textContent = words;
    for (const [key, field] of inputs) field.setAttribute("aria-invalid", `${key === name}`);
    (inputs.get(name) ?? go).focus();
  }
}

function input(question: Question, described: string): HTMLInputElement {
  const field = element("input");
  field.id = `hm-live-dialog-${question.name}`;
  field.name = question.name;
  field.value = question.value;
  field.autocomplete = "off";
  field.setAttribute("aria-describedby", question.hint ? `${field.id}-hint ${described}` : described);
  return field;
}

function row(question: Question, field: HTMLInputElement): HTMLElement {
  const label = element("label", "", question.label);
  label.htmlFor = field.id;
  const made = element("div", "hm-live-question", label, field);
  if (question.hint) {
    const hint = element("small", "", question.hint);
    hint.id = `${field.id}-hint`;
    made.append(hint);
  }
  return made;
}
