/** What is shown of an earlier state while the newest one is being worked out and drawn. */

import type { LiveData, State } from "./live-types.ts";

export interface Old {
  /** An edit was made that the answer does not know yet, or not in full. */
  answer: boolean;
  /** The rig stands otherwise in the picture than in the newest state. */
  rig: boolean;
  /** Findings, forces and approaches of the scene are of an earlier state. */
  judged: boolean;
}

/** Which parts are old; `version` is the newest that this tab knows of. */
export function oldParts(version: number, state: State | null, data: LiveData | null): Old {
  const answer = state?.answer ?? null;
  return {
    answer: !state || state.version < version || (state.busy && (answer?.version ?? 0) < state.version),
    rig: data !== null && data.live.version < version,
    judged: data !== null && data.live.judged < version,
  };
}
