/** What is taken away goes out as a file, never as a page. */
import type { ServerResponse } from "node:http";

/** The name by RFC 6266, also where it is not ASCII. */
export function attachment(response: ServerResponse, name: string, type: string): void {
  const plain = name.replace(/[^\x20-\x7e]|["\\%]/g, "_");
  const full = encodeURIComponent(name).replace(/['()*]/g, (mark) => `%${mark.charCodeAt(0).toString(16)}`);
  response.setHeader("Content-Type", type);
  response.setHeader("Content-Disposition", `attachment; filename="${plain}"; filename*=UTF-8''${full}`);
}
