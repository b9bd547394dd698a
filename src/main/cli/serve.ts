import { resolve } from "node:path";
import { exampleFolder, personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { createMedia } from "../media/create-media.ts";
import { createRecentFolders } from "../store/recent-folders.ts";
import { shelfFolder } from "../store/shelf-file.ts";
import { startWebHost } from "../web.ts";
import { UsageError, type Verb } from "./verb.ts";

export const serveVerb: Verb = {
  name: "serve",
  usage: "[FOLDER] [--port N]",
  summary: "Shows a field folder in the browser of this machine, until stopped with Ctrl-C.",
  details: [
    "FOLDER     by default the example launch, made on first use",
    "--port N   by default any free port; only this machine can reach it",
  ],
  operands: [0, 1],
  options: { port: { type: "string" } },
  async run({ operands, options, json, terminal, onProgress }) {
    const port = options.port === undefined ? 0 : Number(options.port);
    if (!Number.isInteger(port) || port < 0 || port > 65_535 || options.port === "") {
      throw new UsageError(`--port takes a whole number from 0 to 65535, not "${options.port}".`);
    }
    const { cacheDir, dataDir } = personDirs();
    const ffmpegPath = requireFfmpeg();
    const given = operands[0];
    const folder =
      given === undefined
        ? await exampleFolder(dataDir, ffmpegPath, onProgress)
        : resolve(terminal.cwd, given);
    const media = createMedia({ ffmpegPath, cacheDir });
    const host = await startWebHost({
      folder,
      port,
      cacheDir,
      shelfDir: shelfFolder(dataDir),
      recent: createRecentFolders(dataDir),
      media,
    });
    terminal.out(json ? `${JSON.stringify({ url: host.url, folder })}\n` : `Loftmark is at ${host.url}\n`);
    await aborted(terminal.signal);
    await host.close();
    return 0;
  },
};

function aborted(signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    if (signal.aborted) done();
    signal.addEventListener("abort", () => done(), { once: true });
  });
}
