import { existsSync } from "node:fs";
import { readFile, realpath } from "node:fs/promises";
import { extname, join, sep } from "node:path";
import { isMissing } from "../store/missing-file.ts";

/**
 * What the page may load: itself and nothing else. Styles may stand in elements, because React and the canvas
 * library set them there; scripts may not. blob: and data: pictures are frames and bundled icons.
 */
const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "font-src 'self' data:",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'self'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".ico": "image/x-icon",
  ".woff2": "font/woff2",
  ".woff": "font/woff",
  ".map": "application/json",
};

/** Gives a file of the built page by its path, or null when there is none that may be given. */
export type RendererFiles = (pathname: string) => Promise<Response | null>;

/** @param directory the built renderer, with index.html and assets */
export function createRendererFiles(directory: string): RendererFiles {
  return async (pathname) => {
    const relative = plainPath(pathname);
    const type = relative === null ? undefined : TYPES[extname(relative).toLowerCase()];
    if (relative === null || type === undefined) return null;
    const bytes = await readInside(directory, relative);
    if (bytes === null) return null;
    const hashed = relative.startsWith("assets/");
    return new Response(new Uint8Array(bytes), {
      headers: {
        "content-type": type,
        // Names in assets/ carry a hash of their content, so they never change.
        "cache-control": hashed ? "private, max-age=31536000, immutable" : "no-store",
        "content-security-policy": PAGE_POLICY,
        "x-content-type-options": "nosniff",
        "cross-origin-resource-policy": "same-origin",
        "cross-origin-opener-policy": "same-origin",
        "referrer-policy": "no-referrer",
      },
    });
  };
}

/**
 * The built renderer beside the bundle that runs, or in out/ when the sources run.
 * @throws Error when it is not built
 */
export function findRendererDir(from: string): string {
  const places = ["../renderer", "../../renderer", "../../out/renderer", "../../../out/renderer"];
  const found = places
    .map((place) => join(from, place))
    .find((place) => existsSync(join(place, "index.html")) && existsSync(join(place, "assets")));
  if (found === undefined) throw new Error("The page is not built: run `npm run build`.");
  return found;
}

/** A path within the page's folder; null for everything that could lead out of it or to a hidden file. */
function plainPath(pathname: string): string | null {
  let path: string;
  try {
    path = decodeURIComponent(pathname);
  } catch {
    return null;
  }
  const steps = path.split("/").slice(1);
  if (steps.length === 1 && steps[0] === "") return "index.html";
  const plain = /^[\w@ -][\w@. -]*$/;
  return path.startsWith("/") && steps.every((step) => plain.test(step)) ? steps.join("/") : null;
}

async function readInside(directory: string, relative: string): Promise<Buffer | null> {
  try {
    const root = await realpath(directory);
    const path = await realpath(join(root, relative));
    return path.startsWith(root + sep) ? await readFile(path) : null;
  } catch (error) {
    if (isMissing(error) || (error as NodeJS.ErrnoException).code === "EISDIR") return null;
    throw error;
  }
}
