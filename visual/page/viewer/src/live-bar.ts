/** The bar of the live view: what can be done to the site, by button or key, and how it stands. */

import { button, element } from "./dom.ts";
import { markEdges } from "./edges.ts";
import type { State } from "./live-types.ts";

export interface Deeds {
  /** Something of the server: undo, redo, reset, save. */
  act(name: string): void;
  saveAs(): void;
  /** Show what can be made of the site. */
  make(): void;
  sites(): void;
  /** Whether handles are to keep to the contour from now on. */
  keepLevel(): boolean;
}

export class Bar {
  readonly root = element("div", "hm-live-bar");
  /** How the site stands, in a few words. */
  readonly said = element("div", "hm-live-said");
  private readonly buttons = new Map<string, HTMLButtonElement>();

  constructor(deeds: Deeds) {
    this.said.setAttribute("role", "status");
    const { act } = deeds;
    this.add("undo", "Undo", "Ctrl+Z", () => act("undo"));
    this.add("redo", "Redo", "Ctrl+Shift+Z", () => act("redo"));
    this.add("reset", "Reset", "Back to the saved site; this can be undone", () => act("reset"));
    this.add("save", "Save", "Ctrl+S: write the site file; comments and order stay", () => act("save"));
    this.add("save_as", "Save as …", "Write another site file in the same folder", () => deeds.saveAs());
    this.add("make", "Page, sheets, picture", "Files for neighbours, the permit office and the crew", () => deeds.make());
    this.add("sites", "Sites", "All sites in this folder; drop ground data there", () => deeds.sites());
    // for fingers, which have no Shift key
    const keep = this.add("keep", "Contour", "Handles keep to the contour through the base, as with Shift", () => {
      keep.setAttribute("aria-pressed", `${deeds.keepLevel()}`);
    });
    keep.classList.add("hm-live-keep");
    keep.setAttribute("aria-pressed", "false");
    addEventListener("keydown", (event) => this.key(event));
    markEdges(this.root);
  }

  /** Show what can be done now, and how it stands; `making` names what is being made. */
  fill(state: State, making: string): void {
    this.able("undo", state.can_undo);
    this.able("redo", state.can_redo);
    this.able("reset", state.dirty);
    this.able("save", state.dirty);
    const words = saying(state, making);
    if (this.said.textContent !== words) this.said.textContent = words;
    this.said.dataset["busy"] = `${state.busy || making !== ""}`;
  }

  private add(name: string, word: string, title: string, press: () => void): HTMLButtonElement {
    const made = button(word, press, "hm-button");
    made.title = title;
    made.dataset["act"] = name;
    this.buttons.set(name, made);
    this.root.append(made);
    return made;
  }

  private able(name: string, on: boolean): void {
    const known = this.buttons.get(name);
    if (known) known.disabled = !on;
  }

  private key(event: KeyboardEvent): void {
    if (!this.root.isConnected || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    const typing = event.target instanceof HTMLInputElement && event.target.type === "text";
    const name = key === "s" ? "save" : key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : "";
    if (!name || (typing && name !== "save")) return;
    event.preventDefault();
    const known = this.buttons.get(name);
    if (known && !known.disabled) known.click();
  }
}

export function saying(state: State, making: string): string {
  if (making) return `making the ${making} …`;
  if (state.busy) return "working …";
  const saved = state.dirty ? "not saved" : "saved";
  if (state.doing) return `${saved} · ${state.doing} …`;
  return saved + (state.took >= 0.05 ? ` · answered in ${state.took.toFixed(1)} s` : "");
}
