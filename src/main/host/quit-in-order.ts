/** The part of Electron's app that is used. */
export interface QuittingApp {
  on(event: "before-quit", listener: (event: { preventDefault(): void }) => void): unknown;
  quit(): void;
}

/**
 * Lets a desktop program quit only when its host has closed: threads and ffmpeg ended, and what was being written is written. Electron
 * quits in this way also when a signal asks it to.
 * @param log told when closing fails; the program quits all the same
 */
export function quitInOrder(
  app: QuittingApp,
  close: () => Promise<void>,
  log: (error: unknown) => void,
): void {
  let stage: "open" | "closing" | "closed" = "open";
  app.on("before-quit", (event) => {
    if (stage === "closed") return;
    event.preventDefault();
    if (stage === "closing") return;
    stage = "closing";
    void close()
      .catch(log)
      .finally(() => {
        stage = "closed";
        app.quit();
      });
  });
}
