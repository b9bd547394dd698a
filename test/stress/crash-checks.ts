import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { isRunning, makerOf } from "../../src/main/media/maker.ts";
import { HISTORY_FOLDER, readSegment } from "../../src/main/store/journal-file.ts";
import { openSession } from "../../src/shared/session/open-session.ts";
import { type CrashPlace, orphans } from "./crash-host.ts";

const TRIES = 100;
const TRY_AGAIN_MS = 100;

/** What a killed process left that cannot be read: nothing may. */
export async function unreadable({ folder }: CrashPlace): Promise<string[]> {
  const wrong: string[] = [];
  const opened = openSession(JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")));
  if (!opened.ok) wrong.push(`loftmark.json: ${opened.fault.cause}`);
  for (const name of await readdir(join(folder, HISTORY_FOLDER)).catch(() => [])) {
    if (!name.endsWith(".jsonl")) continue;
    const segment = await readSegment(folder, name);
    const text = await readFile(join(folder, HISTORY_FOLDER, name), "utf8");
    const rest = text.slice(
      Buffer.from(text)
        .subarray(0, segment?.bytes ?? 0)
        .toString("utf8").length,
    );
    if (segment === null || rest.includes("\n")) wrong.push(`${name} is damaged`);
  }
  return wrong;
}

/** What the next start should have cleared away; waits while it still does so. */
export async function leftBehind(place: CrashPlace, host: number): Promise<readonly string[]> {
  for (let tries = 1; ; tries++) {
    const left = [...(await leftNow(place)), ...orphans(place.cache, host)];
    if (left.length === 0 || tries === TRIES) return left;
    await new Promise((resolve) => setTimeout(resolve, TRY_AGAIN_MS));
  }
}

async function leftNow({ folder, cache }: CrashPlace): Promise<readonly string[]> {
  const inFolder = await readdir(folder);
  const inHistory = await readdir(join(folder, HISTORY_FOLDER)).catch(() => []);
  const inCache = await readdir(cache).catch(() => []);
  const passing = inCache.filter((name) => {
    const maker = makerOf(name);
    return /^(making|cells|trash)-/.test(name) && (maker === null || !isRunning(maker));
  });
  return [...inFolder, ...inHistory].filter((name) => name.startsWith(".")).concat(passing);
}

/** What of a write-up is not of one generation. */
export async function mixedWriteUp({ folder }: CrashPlace): Promise<readonly string[]> {
  const place = join(folder, "write-up");
  const entries = await readdir(place, { recursive: true, withFileTypes: true }).catch(() => null);
  if (entries === null) return [];
  const list = join(place, ".loftmark-write-up.json");
  const { files } = JSON.parse(await readFile(list, "utf8")) as { files: Record<string, string[]> };
  const found = entries
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((path) => path !== list);
  const wrong = await Promise.all(
    found.map(async (path) => {
      const name = path.slice(place.length + 1);
      const hash = createHash("sha256")
        .update(await readFile(path))
        .digest("hex");
      return files[name]?.length === 1 && files[name][0] === hash ? [] : [`write-up/${name} is another's`];
    }),
  );
  const names = new Set(found.map((path) => path.slice(place.length + 1)));
  const gone = Object.keys(files).filter((name) => !names.has(name));
  return [...wrong.flat(), ...gone.map((name) => `write-up/${name} is missing`)];
}
