const FOUND = "guide-found"; // as the style sheet names it

/**
 * Marks every place of a text on the page, without changing the page.
 * @returns how many there are; 0 too where the browser cannot mark
 */
export function markFound(page: HTMLElement, wanted: string): number {
  if (!("highlights" in CSS)) return 0;
  CSS.highlights.delete(FOUND);
  const sought = wanted.trim().replace(/\s+/g, " ").toLowerCase();
  if (sought === "") return 0;
  const ranges: Range[] = [];
  const texts = document.createTreeWalker(page, NodeFilter.SHOW_TEXT);
  for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
    const text = (node.textContent ?? "").replace(/\s/g, " ").toLowerCase();
    for (let at = text.indexOf(sought); at >= 0; at = text.indexOf(sought, at + sought.length)) {
      const range = new Range();
      range.setStart(node, at);
      range.setEnd(node, at + sought.length);
      ranges.push(range);
    }
  }
  if (ranges.length > 0) CSS.highlights.set(FOUND, new Highlight(...ranges));
  return ranges.length;
}
