import { createHash } from "node:crypto";
import { appendFile, copyFile, readdir, rename, rm, stat, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { type ClipFile, createClipFingerprints } from "../../../src/main/media/clip-fingerprint.ts";
import { faultOf } from "../../support/fault-of.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const MB = 1 << 20;

/** Bytes that differ everywhere, so that no two parts of the file can stand for each other. */
function content(bytes: number, salt = 0): Uint8Array {
  return Uint8Array.from({ length: bytes }, (_, i) => (i * 31 + (i >> 8) * 7 + (i >> 16) * 3 + salt) & 255);
}

async function clipAt(path: string): Promise<ClipFile> {
  const { size, mtimeMs } = await stat(path);
  return { path, bytes: size, modifiedMs: mtimeMs };
}

const sha256 = (data: Uint8Array) => `sha256-${createHash("sha256").update(data).digest("hex")}`;

async function folderWith(data: Uint8Array) {
  const folder = await temporaryFolder();
  const path = join(folder, "shot 1.mp4");
  await writeFile(path, data);
  return { folder, path, cacheDir: join(folder, "cache") };
}

describe("of", () => {
  it("is the SHA-256 of the whole content, also of the middle, with progress up to 1", async () => {
    const data = content(5 * MB + 17);
    const { path, cacheDir } = await folderWith(data);
    const fractions: number[] = [];
    const before = await createClipFingerprints(cacheDir).of(await clipAt(path), {
      onProgress: ({ fraction }) => fractions.push(fraction),
    });
    expect(before).toBe(sha256(data));
    expect(fractions.length).toBeGreaterThan(4);
    expect(fractions.at(-1)).toBe(1);
    data[Math.floor(data.length / 2)] = (data[Math.floor(data.length / 2)]! + 1) & 255;
    await writeFile(path, data);
    expect(await createClipFingerprints(cacheDir).of(await clipAt(path))).toBe(sha256(data));
  });

  it("gives the FIPS 180-4 value of an empty file", async () => {
    const { path, cacheDir } = await folderWith(new Uint8Array());
    const empty = "sha256-e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    expect(await createClipFingerprints(cacheDir).of(await clipAt(path))).toBe(empty);
  });

  it("is the same for a copy under another name", async () => {
    const { folder, path, cacheDir } = await folderWith(content(3000));
    const copy = join(folder, "copy.mp4");
    await copyFile(path, copy);
    const prints = createClipFingerprints(cacheDir);
    expect(await prints.of(await clipAt(copy))).toBe(await prints.of(await clipAt(path)));
  });

  it("reads a file once for several who ask at once, and not again in a later run", async () => {
    const { path, cacheDir } = await folderWith(content(3 * MB));
    const prints = createClipFingerprints(cacheDir);
    const clip = await clipAt(path);
    const told: number[][] = [[], [], []];
    const all = await Promise.all(
      told.map((own) => prints.of(clip, { onProgress: ({ fraction }) => own.push(fraction) })),
    );
    expect(new Set(all).size).toBe(1);
    // Three readings would tell each of them three times as often.
    for (const own of told) expect(own.length).toBeLessThanOrEqual(3);
    const later: number[] = [];
    const asks = { onProgress: ({ fraction }: { fraction: number }) => void later.push(fraction) };
    expect(await prints.of(clip, asks)).toBe(all[0]);
    expect(await createClipFingerprints(cacheDir).of(clip, asks)).toBe(all[0]);
    expect(later).toEqual([]);
  });

  it("reads again after a swap that keeps name, size and time of change", async () => {
    const first = content(4000);
    const second = content(4000, 1);
    const { folder, path, cacheDir } = await folderWith(first);
    const prints = createClipFingerprints(cacheDir);
    const clip = await clipAt(path);
    expect(await prints.of(clip)).toBe(sha256(first));
    const other = join(folder, "other");
    await writeFile(other, second);
    const when = clip.modifiedMs / 1000;
    await utimes(path, when, when);
    const whole = await clipAt(path);
    expect(await prints.of(whole)).toBe(sha256(first));
    await rename(other, path);
    await utimes(path, when, when);
    const swapped = await clipAt(path);
    expect(swapped).toEqual(whole);
    expect(await prints.known(swapped)).toBeNull();
    expect(await prints.of(swapped)).toBe(sha256(second));
  });

  it("refuses a file that grows while it is read, and remembers nothing of it", async () => {
    const { path, cacheDir } = await folderWith(content(6 * MB));
    const prints = createClipFingerprints(cacheDir);
    let grown: Promise<void> | null = null;
    const fault = await faultOf(
      prints.of(await clipAt(path), {
        onProgress: () => {
          grown ??= appendFile(path, "more");
        },
      }),
    );
    await grown;
    expect(fault.code).toBe("clip-changing");
    expect(await prints.known(await clipAt(path))).toBeNull();
    expect(await readdir(cacheDir).catch(() => [])).toEqual([]);
  });

  it("refuses a clip that is not of the size and time given, and one that is gone", async () => {
    const { path, cacheDir } = await folderWith(content(100));
    const prints = createClipFingerprints(cacheDir);
    const clip = await clipAt(path);
    expect((await faultOf(prints.of({ ...clip, bytes: 99 }))).code).toBe("clip-changing");
    expect((await faultOf(prints.of({ ...clip, modifiedMs: clip.modifiedMs - 1 }))).code).toBe(
      "clip-changing",
    );
    await rm(path);
    expect((await faultOf(prints.of(clip))).code).toBe("clip-missing");
  });

  it("stops when told to, and one who leaves takes nothing from the other", async () => {
    const data = content(4 * MB);
    const { path, cacheDir } = await folderWith(data);
    const prints = createClipFingerprints(cacheDir);
    const clip = await clipAt(path);
    const alone = new AbortController();
    expect((await faultOf(prints.of(clip, { signal: AbortSignal.abort() }))).code).toBe("cancelled");
    const stopped = prints.of(clip, { signal: alone.signal, onProgress: () => alone.abort() });
    expect((await faultOf(stopped)).code).toBe("cancelled");
    expect(await prints.known(clip)).toBeNull();
    const leaves = new AbortController();
    const [left, stays] = await Promise.allSettled([
      prints.of(clip, { signal: leaves.signal, onProgress: () => leaves.abort() }),
      prints.of(clip),
    ]);
    expect(left.status).toBe("rejected");
    expect(stays).toEqual({ status: "fulfilled", value: sha256(data) });
  });

  it("works without a cache that can be written", async () => {
    const data = content(100);
    const { folder, path } = await folderWith(data);
    await writeFile(join(folder, "a-file"), "");
    const prints = createClipFingerprints(join(folder, "a-file", "cache"));
    expect(await prints.of(await clipAt(path))).toBe(sha256(data));
  });
});

describe("known", () => {
  it("is null until the clip was read, and reads nothing itself", async () => {
    const data = content(3000);
    const { path, cacheDir } = await folderWith(data);
    const prints = createClipFingerprints(cacheDir);
    const clip = await clipAt(path);
    expect(await prints.known(clip)).toBeNull();
    await prints.of(clip);
    expect(await prints.known(clip)).toBe(sha256(data));
    expect(await createClipFingerprints(cacheDir).known(clip)).toBe(sha256(data));
    await rm(path);
    expect(await prints.known(clip)).toBeNull();
  });

  it("is null when what the cache holds is broken", async () => {
    const { path, cacheDir } = await folderWith(content(3000));
    const clip = await clipAt(path);
    await createClipFingerprints(cacheDir).of(clip);
    const [file] = await readdir(join(cacheDir, "fingerprints"));
    await writeFile(join(cacheDir, "fingerprints", file!), '{"fingerprint":"sha256-12"}');
    expect(await createClipFingerprints(cacheDir).known(clip)).toBeNull();
  });
});
