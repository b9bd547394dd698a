import { contextBridge, ipcRenderer, webUtils } from "electron";
import { PICK_FOLDER, SAVE_PDF, SHOW_FOLDER } from "./host/desktop-channels.ts";

/** What only a desktop has, and nothing more: the page does the rest through fetch. */
const loftmarkHost = {
  /** Lets the person pick a folder. @returns its path, or null when they thought better of it */
  pickFolder: (): Promise<string | null> => ipcRenderer.invoke(PICK_FOLDER),
  /** Prints the page to a PDF where the person says. @returns the path, or null */
  savePdf: (): Promise<string | null> => ipcRenderer.invoke(SAVE_PDF),
};

contextBridge.exposeInMainWorld("loftmarkHost", loftmarkHost);

// A folder or a clip dropped anywhere on the window opens its field folder. Only here can a dropped file's path be had.
window.addEventListener("dragover", (event) => event.preventDefault());
window.addEventListener("drop", (event) => {
  event.preventDefault();
  const file = event.dataTransfer?.files[0];
  const path = file === undefined ? "" : webUtils.getPathForFile(file);
  if (path !== "") void ipcRenderer.invoke(SHOW_FOLDER, path);
});
