/** Finds the route that a target means. */
import type { Route } from "./interfaces.ts";

export interface Found {
  readonly route: Route;
  readonly params: Readonly<Record<string, string>>;
}

/** @returns the methods that the path knows where this one is not among them; null where the path is unknown */
export function findRoute(routes: readonly Route[], method: string, path: string): Found | string[] | null {
  const methods: string[] = [];
  for (const route of routes) {
    const params = paramsOf(route.path, path);
    if (params === null) continue;
    if (route.method === method) return { route, params };
    methods.push(route.method);
  }
  return methods.length === 0 ? null : methods;
}

function paramsOf(pattern: string, path: string): Record<string, string> | null {
  const wanted = pattern.split("/");
  const given = path.split("/");
  if (wanted.length !== given.length) return null;
  const params: Record<string, string> = {};
  for (const [index, want] of wanted.entries()) {
    const segment = given[index] as string;
    if (!want.startsWith(":")) {
      if (want !== segment) return null;
      continue;
    }
    try {
      params[want.slice(1)] = decodeURIComponent(segment);
    } catch {
      return null;
    }
    if (segment === "") return null;
  }
  return params;
}
