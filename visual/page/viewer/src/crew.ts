/** What the crew asks for: where on the way up to take care, the wires, the anchors. */

import { element } from "./dom.ts";
import { plainTable } from "./table.ts";
import type { Viewer } from "./viewer.ts";

export class Crew {
  readonly root = element("div", "hm-crew");

  constructor(viewer: Viewer) {
    const fill = (): void => {
      const known = viewer.data.paper?.tables ?? {};
      const made = ["watch", "wires", "anchors"].flatMap((name) => (known[name] ? [plainTable(name, known[name], viewer.units)] : []));
      this.root.replaceChildren(...made);
    };
    viewer.on("data", fill);
    viewer.on("units", fill);
    fill();
  }
}
