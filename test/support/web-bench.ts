import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach } from "vitest";
import { startWebHost, type WebHost, type WebHostOptions } from "../../src/main/web.ts";
import { paperMedia } from "./paper-media.ts";
import { rawRequest } from "./raw-request.ts";
import { temporaryFolder } from "./temporary-folder.ts";

const running: WebHost[] = [];

afterEach(async () => {
  for (const host of running.splice(0)) await host.close();
});

/** A loopback host on a folder with one paper clip and a small page; closed after the test. */
export async function webBench(options: Partial<WebHostOptions> = {}) {
  const [folder, cacheDir, rendererDir] = [
    await temporaryFolder(),
    await temporaryFolder(),
    await temporaryFolder(),
  ];
  await writeFile(join(folder, "a.mp4"), "clip of 12 frames");
  await mkdir(join(rendererDir, "assets"));
  await writeFile(join(rendererDir, "index.html"), "<!doctype html><title>page</title>");
  await writeFile(join(rendererDir, "assets", "index-ab12.js"), "export {};");
  await writeFile(join(rendererDir, ".secret.html"), "hidden");
  await writeFile(join(rendererDir, "notes.txt"), "no type of the page");
  const paper = paperMedia();
  const host = await startWebHost({ folder, cacheDir, rendererDir, media: paper.media, ...options });
  running.push(host);
  const port = Number(new URL(host.origin).port);
  const own = { host: `127.0.0.1:${port}` };
  const bearer = { ...own, authorization: `Bearer ${host.token}` };
  const cookie = { ...own, cookie: `other=1; loftmark-${port}=${host.token}` };
  const ask = (path: string, init: Parameters<typeof rawRequest>[2] = {}) => rawRequest(port, path, init);
  const info = await ask("/host/info", { headers: bearer });
  const { id } = JSON.parse(info.body) as { id: string };
  /** Path of the service of the folder shown first. */
  const api = `/api/folders/${id}`;
  return { ...paper, host, port, folder, id, api, rendererDir, own, bearer, cookie, ask };
}
