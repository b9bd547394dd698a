import { resolve } from "node:path";
import react from "@vitejs/plugin-react";
import { defineConfig } from "electron-vite";

const at = (path: string) => resolve(import.meta.dirname, path);

export default defineConfig({
  main: {
    build: {
      // Not the Electron default: the loopback host and the command line run on plain Node 20 too.
      target: "node20",
      rolldownOptions: {
        input: {
          electron: at("src/main/electron.ts"),
          web: at("src/main/web.ts"),
          cli: at("src/main/cli.ts"),
          // Not a host: the program of a thread, which is started from a file of its own.
          "heavy-worker": at("src/main/jobs/heavy-worker.ts"),
        },
      },
    },
  },
  preload: {
    build: {
      // A sandboxed preload can require nothing but "electron", so everything else is bundled in.
      externalizeDeps: false,
      rolldownOptions: {
        input: { preload: at("src/main/preload.ts") },
        output: { format: "cjs", entryFileNames: "[name].cjs" },
      },
    },
  },
  renderer: {
    root: at("src/renderer"),
    plugins: [react()],
    // One page that is read from disk: splitting it would save nothing.
    build: {
      minify: true,
      chunkSizeWarningLimit: 1700,
      rolldownOptions: { input: at("src/renderer/index.html") },
    },
  },
});
