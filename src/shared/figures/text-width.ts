/**
 * Estimated width of a text in px, on the wide side, for setting labels apart where nothing can be
 * measured: the same figure is made with no screen. Advance widths of a grotesque face in parts of
 * the font size, by class.
 */
export function textWidthPx(text: string, fontPx: number, bold = false): number {
  let em = 0;
  for (const character of text) em += advance(character);
  return em * fontPx * (bold ? 1.06 : 1);
}

function advance(character: string): number {
  if (/[iljftr.,:;'|! ()]/.test(character)) return 0.34;
  if (/[mwMW%]/.test(character)) return 0.9;
  if (/[0-9+−±=]/.test(character)) return 0.65;
  if (/[A-Z]/.test(character)) return 0.7;
  if (/[°²³/]/.test(character)) return 0.42;
  return 0.59;
}
