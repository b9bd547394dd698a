/** What is dragged over the window, as far as a browser says before it is dropped: kinds, never names. */
export interface Dragged {
  readonly clips: number;
  /** Folders, and files of a kind that the system does not know: some clips are. */
  readonly unknown: number;
  /** Pictures and sound. */
  readonly others: number;
}

/** Where it would be dropped. */
export interface DropTarget {
  /** Name of the folder that is shown; null where none is open. */
  readonly folder: string | null;
  readonly readOnly: boolean;
  /** Whether the host says where a dropped folder lies, so that it can be opened. */
  readonly saysPaths: boolean;
}

/** What a drop would do, in words; `takes` is false where it would do nothing. */
export interface DropWords {
  readonly takes: boolean;
  readonly does: string;
  readonly note: string;
}

/** Counts what is dragged by the kinds that its parts say. */
export function draggedIn(items: Iterable<Pick<DataTransferItem, "kind" | "type">>): Dragged {
  let [clips, unknown, others] = [0, 0, 0];
  for (const { kind, type } of items) {
    if (kind !== "file") continue;
    if (type.startsWith("video/")) clips++;
    else if (/^(image|audio|font)\//.test(type)) others++;
    else unknown++;
  }
  return { clips, unknown, others };
}

/** Says what dropping it here would do. */
export function dropWords({ clips, unknown }: Dragged, target: DropTarget): DropWords {
  const { folder, readOnly, saysPaths } = target;
  const count = clips + unknown;
  if (count === 0) return refused("Only clips and folders can be dropped here");
  if (folder === null) {
    return saysPaths && clips === 0 && count === 1
      ? { takes: true, does: "Open this folder", note: "" }
      : refused(saysPaths ? "Drop a folder here to open it" : "No folder is open to take clips");
  }
  const note = readOnly
    ? `${folder} is read-only: a clip that it has is shown, none can be copied into it.`
    : "A clip from elsewhere is copied into the folder. Nothing there is replaced.";
  return { takes: true, does: doesWith(clips, unknown, folder, saysPaths), note };
}

function doesWith(clips: number, unknown: number, folder: string, saysPaths: boolean): string {
  if (unknown === 0) return `Add ${clips === 1 ? "this clip" : `${clips} clips`} to ${folder}`;
  if (clips + unknown > 1) return `Add the clips among these ${clips + unknown} to ${folder}`;
  return saysPaths
    ? `Open this folder; or, if it is a clip, add it to ${folder}`
    : `Add this clip, or the clips in this folder, to ${folder}`;
}

function refused(does: string): DropWords {
  return { takes: false, does, note: "" };
}
