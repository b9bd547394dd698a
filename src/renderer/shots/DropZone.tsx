import { useEffect, useRef, useState } from "react";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { DroppedFolders } from "./DroppedFolders.tsx";
import { type DropWords, draggedIn, dropWords } from "./drop-words.ts";
import { type Dropped, droppedIn } from "./dropped.ts";
import { useOpening } from "./use-opening.ts";

/**
 * Takes clips and folders that are dropped anywhere on the window, and says while they are dragged over it
 * what a drop would do.
 */
export function DropZone() {
  const actions = useActions();
  const { saysPaths, pathOf } = actions.service;
  const open = useAppState((s) => s.phase === "ready");
  const folder = useAppState((s) => s.folderName);
  const readOnly = useAppState((s) => s.access === "read-only");
  const { openPath } = useOpening();
  const [words, setWords] = useState<DropWords | null>(null);
  const [offered, setOffered] = useState<Dropped | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);

  function take(dropped: Dropped): void {
    const [one] = dropped.folders;
    const say = (why: Fault) => (open ? actions.tell("warning", why) : setFault(why));
    setFault(null);
    if (one === undefined) {
      if (open) void actions.bringClips(dropped.files);
    } else if (!saysPaths) setOffered(dropped);
    else if (dropped.folders.length + dropped.files.length > 1) say(ONE_FOLDER);
    else void openPath((one.file && pathOf(one.file)) ?? "", say);
  }

  useWindowDrags({
    over: (items) => {
      const now = dropWords(draggedIn(items), { folder: open ? folder : null, readOnly, saysPaths });
      setWords((before) => (before?.does === now.does ? before : now));
      return now.takes;
    },
    out: () => setWords(null),
    drop: (items) => {
      setWords(null);
      take(droppedIn(items));
    },
  });

  return (
    <>
      {words === null ? null : <DropOutline words={words} />}
      {offered === null ? null : <DroppedFolders dropped={offered} onClose={() => setOffered(null)} />}
      {fault === null ? null : (
        <p className="drop-fault field-problem" role="alert">
          {fault.cause} {fault.remedy}
        </p>
      )}
    </>
  );
}

const ONE_FOLDER: Fault = {
  code: "one-folder",
  cause: "Several things were dropped with a folder among them, so nothing was done.",
  remedy: "Drop one folder to open it, or clips alone to add them.",
};

/** An outline round the whole window, above everything that stands in it. */
function DropOutline({ words: { does, note } }: { readonly words: DropWords }) {
  const outline = useRef<HTMLDivElement>(null);
  useEffect(() => outline.current?.showPopover(), []);
  return (
    <div ref={outline} popover="manual" className="drop-outline">
      <div className="drop-edge">
        <p className="drop-words" role="status">
          <strong>{does}</strong>
          {note === "" ? null : <span>{note}</span>}
        </p>
      </div>
    </div>
  );
}

interface WindowDrags {
  /** Files are dragged over the window. @returns whether a drop would be taken */
  readonly over: (items: DataTransferItemList) => boolean;
  readonly out: () => void;
  readonly drop: (items: DataTransferItemList) => void;
}

/** Hears of files that are dragged over the window; text that is dragged stays the browser's. */
function useWindowDrags(drags: WindowDrags): void {
  const now = useRef(drags);
  now.current = drags;
  useEffect(() => {
    const stop = new AbortController();
    /** What was entered last: from one part to the next, that one is entered before this one is left. */
    let within: EventTarget | null = null;
    const hear = (type: "dragenter" | "dragover" | "drop", heard: (data: DataTransfer) => void) =>
      window.addEventListener(
        type,
        (event) => {
          if (event.dataTransfer === null || !event.dataTransfer.types.includes("Files")) return;
          if (type === "dragenter") within = event.target;
          event.preventDefault(); // or the browser shows the file in place of the page
          heard(event.dataTransfer);
        },
        { signal: stop.signal },
      );
    const over = (data: DataTransfer) => {
      data.dropEffect = now.current.over(data.items) ? "copy" : "none";
    };
    hear("dragenter", over);
    hear("dragover", over);
    hear("drop", (data) => now.current.drop(data.items));
    window.addEventListener(
      "dragleave",
      (event) => {
        if (event.target === within) now.current.out();
      },
      { signal: stop.signal },
    );
    // No pointer moves while something is dragged: the end of a drag that was not heard of is seen by this.
    window.addEventListener("pointermove", () => now.current.out(), { signal: stop.signal });
    return () => stop.abort();
  }, []);
}
