import "@fontsource/inter/latin-400.css";
import "@fontsource/inter/latin-500.css";
import "@fontsource/inter/latin-600.css";
import "@fontsource/source-serif-4/latin-400.css";
import "@fontsource/source-serif-4/latin-400-italic.css";
import "@fontsource/source-serif-4/latin-600.css";
import "./look/page.css";
import "./look/controls.css";
import "./look/frame.css";
import "./look/ledger.css";
import "./look/detail.css";
import "./look/next-shot.css";
import "./look/tune.css";
import "./look/plan.css";
import { createRoot } from "react-dom/client";
import { App } from "./App.tsx";
import { createStage } from "./frame/stage.ts";
import { createThemeControl } from "./look/theme.ts";
import { createDesk } from "./state/desk.ts";
import { ToolsContext } from "./state/desk-context.ts";
import { finishSaves } from "./state/finish-saves.ts";
import { watchFolder } from "./state/folder-watch.ts";
import { createHttpService } from "./state/http-service.ts";
import { measureInWorker } from "./state/measure-in-worker.ts";
import { pageAddressOf } from "./state/page-address.ts";
import { unsavedNotesIn } from "./state/unsaved-notes.ts";

function later(run: () => void, ms: number): () => void {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
}

const desktop = window.loftmarkHost;
const desk = createDesk({
  service: createHttpService({
    fetch: (path, init) => fetch(path, init),
    address: pageAddressOf(window),
    pickFolder: async () => (await desktop?.pickFolder()) ?? null,
  }),
  measure: measureInWorker(),
  unsaved: unsavedNotesIn(window.localStorage, crypto.randomUUID()),
  now: () => new Date(),
  later,
});
const tools = { desk, stage: createStage(), theme: createThemeControl(window) };

desktop?.onFinishSaves(() =>
  finishSaves({
    enterTyped: () => {
      if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
    },
    saveNow: desk.saveNow,
    save: () => desk.store.get().save,
  }),
);
window.addEventListener("pagehide", () => void desk.leave());
window.addEventListener("beforeunload", (event) => {
  // Only what the folder could not take, or what is too long for the way out, is worth a question.
  const { status } = desk.store.get().save;
  if (status === "failed" || status === "conflict" || !desk.keepUnsaved()) event.preventDefault();
});
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") void desk.leave();
});

watchFolder({
  look: desk.lookAtFolder,
  isVisible: () => document.visibilityState === "visible",
  onReturn(listener) {
    window.addEventListener("focus", listener);
    document.addEventListener("visibilitychange", listener);
  },
  later,
});

const root = document.getElementById("root");
if (root === null) throw new Error("index.html has no #root");
createRoot(root).render(
  <ToolsContext value={tools}>
    <App />
  </ToolsContext>,
);
void desk.open();
