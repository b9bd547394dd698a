import { useLayoutEffect } from "react";
import type { Stage } from "./stage.ts";

/** Tells the stage how large the frame's view is, now and whenever it changes. */
export function useViewSize(view: React.RefObject<HTMLElement | null>, stage: Stage): void {
  useLayoutEffect(() => {
    const element = view.current;
    if (element === null) return;
    const tell = () => stage.resize({ width: element.clientWidth, height: element.clientHeight });
    tell();
    const observer = new ResizeObserver(tell);
    observer.observe(element);
    return () => observer.disconnect();
  }, [view, stage]);
}
