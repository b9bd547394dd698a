import { isClipName } from "../../shared/api/clip-names.ts";

/** A dropped folder: what it is called, the file that its path can be had from, and its clips. */
export interface DroppedFolder {
  readonly name: string;
  readonly file: File | null;
  /** Reads the names directly in it, and takes its clips. @throws DOMException where it cannot be read */
  readonly clips: () => Promise<readonly File[]>;
}

export interface Dropped {
  readonly files: readonly File[];
  readonly folders: readonly DroppedFolder[];
}

const MOST_NAMES = 10_000; // a card has hundreds; beyond this somebody dropped a whole disk

/** Takes files and folders out of a drop, during its event: later the browser has let go of them. */
export function droppedIn(items: Iterable<DataTransferItem>): Dropped {
  const files: File[] = [];
  const folders: DroppedFolder[] = [];
  for (const item of items) {
    if (item.kind !== "file") continue;
    const entry = item.webkitGetAsEntry();
    const file = item.getAsFile();
    if (entry?.isDirectory) {
      const directory = entry as FileSystemDirectoryEntry;
      folders.push({ name: entry.name, file, clips: () => clipsOf(directory) });
    } else if (file !== null) files.push(file);
  }
  return { files, folders };
}

async function clipsOf(directory: FileSystemDirectoryEntry): Promise<readonly File[]> {
  const reader = directory.createReader();
  const entries: FileSystemEntry[] = [];
  for (;;) {
    // It hands out a hundred at a time, and none when there are no more.
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => {
      reader.readEntries(resolve, reject);
    });
    entries.push(...some);
    if (some.length === 0 || entries.length >= MOST_NAMES) break;
  }
  const clips = entries.filter(({ isFile, name }) => isFile && isClipName(name)) as FileSystemFileEntry[];
  return Promise.all(clips.map((clip) => new Promise<File>((resolve, reject) => clip.file(resolve, reject))));
}
