/** Keys that scroll a page where nothing is typed. */
const SCROLLS = new Set(["PageUp", "PageDown", "Home", "End", "ArrowUp", "ArrowDown", " "]);

/**
 * Keeps the heading of an open section in view while answers come and the page grows or shrinks around it,
 * until the person scrolls: then the page is theirs.
 * @param coveredPx css px at the top of `main` that lie under what stays there
 * @returns stops it
 */
export function keepInView(section: HTMLElement, main: HTMLElement, coveredPx: number): () => void {
  const heading = section.querySelector("h2") ?? section;
  const isSeen = () => {
    const [at, view] = [heading.getBoundingClientRect(), main.getBoundingClientRect()];
    return at.top >= view.top + coveredPx - 1 && at.bottom <= view.bottom + 1;
  };
  const grown = new ResizeObserver(() => {
    if (!isSeen()) section.scrollIntoView({ block: "start" });
  });
  grown.observe(section.parentElement ?? section);

  const release = () => grown.disconnect();
  const scrolled = (event: Event) => {
    const isKey = event instanceof KeyboardEvent;
    const inField = event.target instanceof Element && event.target.matches("input, textarea, select");
    if (isKey ? SCROLLS.has(event.key) && !inField : event.type !== "pointerdown" || event.target === main)
      release();
  };
  // the focus went on to a field so far away that the browser scrolled to it
  const focused = () => requestAnimationFrame(() => isSeen() || release());
  for (const kind of OWN) main.addEventListener(kind, scrolled, { passive: true });
  main.addEventListener("focusin", focused);
  return () => {
    release();
    for (const kind of OWN) main.removeEventListener(kind, scrolled);
    main.removeEventListener("focusin", focused);
  };
}

/** What a person scrolls with; a press on the page itself is one on its scroll bar. */
const OWN = ["wheel", "touchmove", "keydown", "pointerdown"] as const;
