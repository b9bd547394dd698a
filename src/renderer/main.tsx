import "@fontsource/inter/latin-400.css";
import "@fontsource/inter/latin-500.css";
import "@fontsource/inter/latin-600.css";
import "@fontsource/source-serif-4/latin-400.css";
import "@fontsource/source-serif-4/latin-400-italic.css";
import "@fontsource/source-serif-4/latin-600.css";
import "./theme/page.css";
import "./theme/controls.css";
import "./theme/frame.css";
import "./theme/ledger.css";
import "./theme/detail.css";
import "./theme/next-shot.css";
import "./theme/tune.css";
import "./theme/guide.css";
import "./theme/plan.css";
import "./theme/day.css";
import "./theme/beside.css";
import "./theme/schematic.css";
import "./theme/figure.css";
import { createRoot } from "react-dom/client";
import { App } from "./App.tsx";
import { createActions } from "./actions/actions.ts";
import { ToolsContext } from "./actions/app-context.ts";
import { watchFolder } from "./actions/folder-watch.ts";
import { PartBoundary } from "./boundary/PartBoundary.tsx";
import { createHttpService } from "./host/http-service.ts";
import { pageAddressOf } from "./host/page-address.ts";
import { watchPresses } from "./ledger/fields/after-press.ts";
import { finishSaves } from "./saving/finish-saves.ts";
import { unsavedNotesIn } from "./saving/unsaved-notes.ts";
import { createThemeControl } from "./theme/theme.ts";
import { createViewportControl } from "./viewport/viewport-control.ts";
import { onceShown } from "./workers/after-frame.ts";
import { measureInWorker } from "./workers/measure-in-worker.ts";

function later(run: () => void, ms: number): () => void {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
}

watchPresses(window);
const desktop = window.loftmarkHost;
const actions = createActions({
  service: createHttpService({
    fetch: (path, init) => fetch(path, init),
    address: pageAddressOf(window),
    pickFolder: async () => (await desktop?.pickFolder()) ?? null,
  }),
  measure: onceShown(measureInWorker()),
  unsaved: unsavedNotesIn(window.localStorage, crypto.randomUUID()),
  now: () => new Date(),
  later,
});
const tools = { actions, viewportControl: createViewportControl(), theme: createThemeControl(window) };

desktop?.onFinishSaves(() =>
  finishSaves({
    enterTyped: () => {
      if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
    },
    saveNow: actions.saveNow,
    save: () => actions.store.get().save,
  }),
);
window.addEventListener("pagehide", () => void actions.leave());
window.addEventListener("beforeunload", (event) => {
  // Only what the folder could not take, or what is too long for the way out, is worth a question.
  const { status } = actions.store.get().save;
  if (status === "failed" || status === "conflict" || !actions.keepUnsaved()) event.preventDefault();
});
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") void actions.leave();
});

watchFolder({
  look: actions.lookAtFolder,
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
    <PartBoundary name="The window">
      <App />
    </PartBoundary>
  </ToolsContext>,
);
void actions.open();
