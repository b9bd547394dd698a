/** What keeps a window's view of its folder fresh. */
export interface FolderWatch {
  readonly look: () => Promise<void>;
  readonly isVisible: () => boolean;
  /** Calls the listener whenever a person comes back to the window. */
  readonly onReturn: (listener: () => void) => void;
  readonly later: (run: () => void, ms: number) => () => void;
}

/** ms between two looks: soon enough for a person who has just copied a clip. */
export const LOOK_EVERY_MS = 3000;

/**
 * Looks at the folder every few seconds while the window is visible, and at once when a
 * person comes back to it.
 */
export function watchFolder({ look, isVisible, onReturn, later }: FolderWatch): void {
  let looking = false;
  let cancel: () => void = () => {};

  async function lookNow(): Promise<void> {
    cancel();
    if (!looking && isVisible()) {
      looking = true;
      await look().finally(() => {
        looking = false;
      });
    }
    cancel();
    cancel = later(() => void lookNow(), LOOK_EVERY_MS);
  }

  onReturn(() => void lookNow());
  cancel = later(() => void lookNow(), LOOK_EVERY_MS);
}
