import { type ReactNode, useLayoutEffect, useRef, useState } from "react";

type More = "none" | "left" | "right" | "both";

/** A table that may be wider than its place: edges with a shadow, and words, say where more of it follows. */
export function Spread({ children }: { readonly children: ReactNode }) {
  const paper = useRef<HTMLDivElement>(null);
  const [more, setMore] = useState<More>("none");
  useLayoutEffect(() => {
    const element = paper.current;
    if (element === null) return;
    const look = () => setMore(moreOf(element));
    const observer = new ResizeObserver(look);
    observer.observe(element);
    for (const child of element.children) observer.observe(child);
    element.addEventListener("scroll", look, { passive: true });
    return () => {
      observer.disconnect();
      element.removeEventListener("scroll", look);
    };
  }, []);
  const follows = more === "right" || more === "both";
  return (
    <div className="day-spread" data-more={more}>
      <div ref={paper} className="day-paper">
        {children}
      </div>
      <p className="day-more">
        {follows ? "More columns follow at the right: scroll, or show fewer under Columns." : null}
      </p>
    </div>
  );
}

function moreOf({ scrollLeft, scrollWidth, clientWidth }: HTMLElement): More {
  const [left, right] = [scrollLeft > 1, scrollWidth - clientWidth - scrollLeft > 1];
  if (left) return right ? "both" : "left";
  return right ? "right" : "none";
}
