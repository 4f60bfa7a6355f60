/** Entry of the live view: the site that was asked for, or the list of sites. */

import { element } from "./dom.ts";
import { Live } from "./live.ts";
import { Api, Refused, takeToken } from "./live-api.ts";
import { LiveSession } from "./live-session.ts";
import { type SiteList, sitesPage, takeDrops } from "./live-sites.ts";

const host = document.getElementById("hillmast") ?? document.body;
const token = takeToken();
const api = new Api(token);
let session: LiveSession | null = null;
let live: Live | null = null;

function show(key: string): void {
  session?.close();
  location.hash = `/${key}`;
  const made = new Live(host, () => void sites());
  const opened = new LiveSession(api, key, {
    state: (state) => made.state(state),
    sent: () => made.sent(),
    scene: (data) => made.scene(data),
    refused: (error) => made.refused(error),
    lost: (words) => made.lost(words),
  });
  made.begin(opened);
  [live, session] = [made, opened];
  Object.assign(window, { hillmast: { live, session } });
}

async function sites(): Promise<void> {
  session?.close();
  [live, session] = [null, null];
  history.replaceState(null, "", location.pathname);
  const list = await api.get<SiteList>("sites");
  host.replaceChildren(sitesPage(list, show, take));
}

async function start(): Promise<void> {
  if (!token) return fail("Open the address that the terminal shows: it carries the key to this view.");
  const list = await api.get<SiteList>("sites");
  const wanted = location.hash.replace(/^#\//, "");
  const known = list.sites.find((one) => one.key === wanted)?.key ?? list.first;
  if (known) show(known);
  else host.replaceChildren(sitesPage(list, show, take));
}

function fail(words: string): void {
  if (live) live.notice(words);
  else host.replaceChildren(element("p", "hm-live-waiting", words));
}

const take = takeDrops(
  api,
  () => (session ? { key: session.key, version: session.version } : null),
  (key) => {
    if (key !== session?.key) show(key);
  },
  fail,
);
start().catch((error: unknown) => {
  fail(error instanceof Refused ? error.message : `The live view cannot start: ${String(error)}`);
});
