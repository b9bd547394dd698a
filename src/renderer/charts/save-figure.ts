import { figureSvg } from "../../shared/figures/figure-svg.ts";
import type { ReadableFigure } from "../../shared/figures/read-figure.ts";
import { saveBlob, saveText } from "../actions/hand-out.ts";

const SIZE = { width: 960, height: 640 } as const; // css px: a page's width at a print's type size
const PNG_SCALE = 2; // 1920 px across: sharp on a page of a report

/** Hands the figure out as a file that stands alone: on white paper, its caption below. */
export function saveSvg(figure: ReadableFigure): void {
  saveText(`${figure.id}.svg`, "image/svg+xml", standing(figure));
}

/** The same as a picture. @returns whether the browser could draw it */
export async function savePng(figure: ReadableFigure): Promise<boolean> {
  const url = URL.createObjectURL(new Blob([standing(figure)], { type: "image/svg+xml" }));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = SIZE.width * PNG_SCALE;
    canvas.height = SIZE.height * PNG_SCALE;
    canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/png"));
    if (blob === null) return false;
    saveBlob(`${figure.id}.png`, blob);
    return true;
  } catch {
    return false;
  } finally {
    URL.revokeObjectURL(url);
  }
}

function standing(figure: ReadableFigure): string {
  const look = { theme: "print", fontFamily: "Inter, Helvetica, Arial, sans-serif" } as const;
  return figureSvg(figure, { ...SIZE, ...look, caption: true });
}
