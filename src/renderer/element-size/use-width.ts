import { type RefObject, useLayoutEffect, useState } from "react";

/** css px, how wide an element is laid out now; 0 before it is. */
export function useWidth(place: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = place.current;
    if (element === null) return;
    const look = () => setWidth(element.getBoundingClientRect().width);
    look();
    const observer = new ResizeObserver(look);
    observer.observe(element);
    return () => observer.disconnect();
  }, [place]);
  return width;
}
