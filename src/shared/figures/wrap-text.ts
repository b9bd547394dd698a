import { textWidthPx } from "./text-width.ts";

/** Text in lines no wider than `width` px by estimate; a word wider than that stands alone. */
export function wrapText(text: string, width: number, fontPx: number): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ").filter((one) => one !== "")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line !== "" && textWidthPx(longer, fontPx) > width) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return line === "" ? lines : [...lines, line];
}
