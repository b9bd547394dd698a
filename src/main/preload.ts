import { contextBridge, ipcRenderer, webUtils } from "electron";
import { FINISH_SAVES, PICK_FOLDER, SAVE_PDF, SAVES_FINISHED, SHOW_FOLDER } from "./host/desktop-channels.ts";

/**
 * Saves what the page has, and says why when something is left unsaved. Before there
 * is a document, nothing is.
 */
let finishSaves: () => Promise<unknown> = async () => null;

/** What only a desktop has, and nothing more: the page does the rest through fetch. */
const loftmarkHost = {
  /** Lets the person pick a folder. @returns its path, or null when they cancelled */
  pickFolder: (): Promise<string | null> => ipcRenderer.invoke(PICK_FOLDER),
  /** Prints the page to a PDF where the person says. @returns the path, or null */
  savePdf: (): Promise<string | null> => ipcRenderer.invoke(SAVE_PDF),
  /** Says how the page finishes its saves when its window is about to go on. */
  onFinishSaves(finish: () => Promise<unknown>): void {
    finishSaves = finish;
  },
};

contextBridge.exposeInMainWorld("loftmarkHost", loftmarkHost);

ipcRenderer.on(FINISH_SAVES, async (_event, question: number) => {
  const fault = await finishSaves().catch(() => ({
    code: "unexpected",
    cause: "The window could not finish its saves.",
    remedy: "Stay, and see what it says.",
  }));
  await ipcRenderer.invoke(SAVES_FINISHED, question, fault);
});

// A folder or a clip dropped anywhere on the window opens its field folder. Only here can a
// dropped file's path be had.
window.addEventListener("dragover", (event) => event.preventDefault());
window.addEventListener("drop", (event) => {
  event.preventDefault();
  const file = event.dataTransfer?.files[0];
  const path = file === undefined ? "" : webUtils.getPathForFile(file);
  if (path !== "") void ipcRenderer.invoke(SHOW_FOLDER, path);
});
