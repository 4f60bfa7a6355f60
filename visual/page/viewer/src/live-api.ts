/** Talking to the server of the live view. */

import type { Problem } from "./live-types.ts";

const KEPT = "hillmast-token";

export class Refused extends Error {
  readonly problems: Problem[];
  readonly stale: boolean;
  readonly outside: boolean;
  readonly status: number;

  constructor(status: number, body: Record<string, unknown>) {
    const problems = (body["problems"] as Problem[] | undefined) ?? [];
    const said = String(body["error"] ?? problems.map((one) => sentence(one)).join(" "));
    super(said || "The program could not answer; its terminal says more.");
    this.status = status;
    this.problems = problems;
    this.stale = body["stale"] === true;
    this.outside = body["outside"] === true;
  }
}

export function sentence(problem: Problem): string {
  const value = problem.value ? ` = ${problem.value}` : "";
  const place = problem.key ? `${problem.key}${value}: ` : "";
  return `${place}${problem.rule}; ${problem.way_out}.`;
}

/** The token of the address, kept for a reload of this tab and taken out of the address. */
export function takeToken(): string {
  const [token, rest] = location.hash.replace(/^#/, "").split("/", 2);
  if (token && token.length > 20) {
    sessionStorage.setItem(KEPT, token);
    history.replaceState(null, "", rest ? `#/${rest}` : location.pathname);
  }
  return sessionStorage.getItem(KEPT) ?? "";
}

export class Api {
  private readonly token: string;

  constructor(token: string) {
    this.token = token;
  }

  async get<T>(path: string, signal?: AbortSignal): Promise<T> {
    const made: RequestInit = signal ? { signal } : {};
    return (await this.ask(path, made)).json() as Promise<T>;
  }

  async post<T>(path: string, body: unknown): Promise<T> {
    return (await this.ask(path, { method: "POST", body: JSON.stringify(body) })).json() as Promise<T>;
  }

  async file(path: string, body: unknown): Promise<Blob> {
    return (await this.ask(path, { method: "POST", body: JSON.stringify(body) })).blob();
  }

  async send<T>(path: string, body: Blob): Promise<T> {
    return (await this.ask(path, { method: "POST", body })).json() as Promise<T>;
  }

  private async ask(path: string, init: RequestInit): Promise<Response> {
    const headers = { "x-hillmast-token": this.token };
    const response = await fetch(`/api/${path}`, { ...init, headers, cache: "no-store" });
    if (response.ok) return response;
    const body = (await response.json().catch(() => ({}))) as Record<string, unknown>;
    throw new Refused(response.status, body);
  }
}
