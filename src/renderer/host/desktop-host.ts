import type { Fault } from "../../shared/quantity/notice.ts";

/** What Electron's preload offers the page; a browser on the loopback host has none of it. */
export interface DesktopHost {
  pickFolder(): Promise<string | null>;
  /**
   * `finish` is called when the window is about to go on: it saves, and says why when
   * something is left unsaved.
   */
  onFinishSaves(finish: () => Promise<Fault | null>): void;
}

declare global {
  interface Window {
    readonly loftmarkHost?: DesktopHost;
  }
}
