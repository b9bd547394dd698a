// The Latin subsets only, in the two weights a report uses; the build puts the files into the
// program as data addresses.
import inter400 from "@fontsource/inter/files/inter-latin-400-normal.woff2?inline";
import inter600 from "@fontsource/inter/files/inter-latin-600-normal.woff2?inline";
import serif400 from "@fontsource/source-serif-4/files/source-serif-4-latin-400-normal.woff2?inline";
import serif600 from "@fontsource/source-serif-4/files/source-serif-4-latin-600-normal.woff2?inline";

const FACES = [
  ["Inter", 400, inter400],
  ["Inter", 600, inter600],
  ["Source Serif 4", 400, serif400],
  ["Source Serif 4", 600, serif600],
] as const;

/** The @font-face rules of a report, with the fonts in them. */
export function fontFaces(): string {
  return FACES.map(
    ([family, weight, address]) =>
      `@font-face{font-family:"${family}";font-weight:${weight};font-style:normal;src:url("${address}") format("woff2")}`,
  ).join("\n");
}
