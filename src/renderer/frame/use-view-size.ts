import { useLayoutEffect } from "react";
import type { ViewportControl } from "../viewport/viewport-control.ts";

/** Tells the viewport how large the frame's view is, now and whenever it changes. */
export function useViewSize(
  view: React.RefObject<HTMLElement | null>,
  viewportControl: ViewportControl,
): void {
  useLayoutEffect(() => {
    const element = view.current;
    if (element === null) return;
    const tell = () => viewportControl.resize({ width: element.clientWidth, height: element.clientHeight });
    tell();
    const observer = new ResizeObserver(tell);
    observer.observe(element);
    return () => observer.disconnect();
  }, [view, viewportControl]);
}
