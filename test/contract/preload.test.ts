import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { runInNewContext } from "node:vm";
import { describe, expect, it, vi } from "vitest";

const PRELOAD = join(import.meta.dirname, "../../out/preload/preload.cjs");

/** Runs the built preload with nothing but what a sandboxed preload has of electron. */
async function runPreload() {
  const asked: string[] = [];
  const exposed: Record<string, Record<string, (...args: unknown[]) => unknown>> = {};
  const listeners: Record<string, (event: unknown) => void> = {};
  const heard: Record<string, (event: unknown, question: number) => Promise<void>> = {};
  const invoke = vi.fn(async (...args: unknown[]) => args[0]);
  const electron = {
    contextBridge: {
      exposeInMainWorld: (name: string, api: (typeof exposed)[string]) => {
        exposed[name] = api;
      },
    },
    ipcRenderer: {
      invoke,
      on: (channel: string, listener: (event: unknown, question: number) => Promise<void>) => {
        heard[channel] = listener;
      },
    },
    webUtils: { getPathForFile: (file: { path: string }) => file.path },
  };
  const window = {
    addEventListener: (type: string, listener: (event: unknown) => void) => {
      listeners[type] = listener;
    },
  };
  runInNewContext(await readFile(PRELOAD, "utf8"), {
    require: (name: string) => {
      asked.push(name);
      return electron;
    },
    window,
  });
  return { asked, exposed, listeners, heard, invoke };
}

describe("the built preload", () => {
  it("asks for electron and nothing else, and shows the page one small object", async () => {
    const { asked, exposed } = await runPreload();
    expect(asked).toEqual(["electron"]);
    expect(Object.keys(exposed)).toEqual(["loftmarkHost"]);
    expect(Object.keys(exposed.loftmarkHost!).sort()).toEqual(["onFinishSaves", "pickFolder", "savePdf"]);
  });

  it("hands on no argument of the page", async () => {
    const { exposed, invoke } = await runPreload();
    await exposed.loftmarkHost!.pickFolder!("/etc", { extra: true });
    await exposed.loftmarkHost!.savePdf!("/etc/passwd");
    expect(invoke.mock.calls).toEqual([["loftmark:pick-folder"], ["loftmark:save-pdf"]]);
  });

  it("answers the host with what the page left unsaved; with nothing before the page says how it saves", async () => {
    const { exposed, heard, invoke } = await runPreload();
    expect(Object.keys(heard)).toEqual(["loftmark:finish-saves"]);
    await heard["loftmark:finish-saves"]!({}, 1);
    const fault = { code: "disk-full", cause: "The disk is full.", remedy: "Make room." };
    exposed.loftmarkHost!.onFinishSaves!(async () => fault);
    await heard["loftmark:finish-saves"]!({}, 2);
    exposed.loftmarkHost!.onFinishSaves!(async () => {
      throw new Error("inside the page");
    });
    await heard["loftmark:finish-saves"]!({}, 3);
    expect(invoke.mock.calls).toEqual([
      ["loftmark:saves-finished", 1, null],
      ["loftmark:saves-finished", 2, fault],
      ["loftmark:saves-finished", 3, expect.objectContaining({ code: "unexpected" })],
    ]);
  });

  it("opens what is dropped on the window, and lets no dropped thing replace the page", async () => {
    const { listeners, invoke } = await runPreload();
    expect(Object.keys(listeners).sort()).toEqual(["dragover", "drop"]);
    const event = (files: unknown[]) => ({ preventDefault: vi.fn(), dataTransfer: { files } });
    const over = event([]);
    listeners.dragover!(over);
    expect(over.preventDefault).toHaveBeenCalledOnce();
    const folder = event([{ path: "/clips/day one" }]);
    listeners.drop!(folder);
    expect(folder.preventDefault).toHaveBeenCalledOnce();
    for (const nothing of [event([]), event([{ path: "" }])]) {
      listeners.drop!(nothing);
      expect(nothing.preventDefault).toHaveBeenCalledOnce();
    }
    expect(invoke.mock.calls).toEqual([["loftmark:show-folder", "/clips/day one"]]);
  });
});
