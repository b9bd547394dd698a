import { basename, extname, resolve } from "node:path";
import { cardPage, cardSvg } from "../../shared/figures/card-svg.ts";
import type { SpeedCard } from "../../shared/next-shot/card-content.ts";
import { CARD_MASSES } from "../../shared/next-shot/speed-card.ts";
import type { NextShot } from "../../shared/session/schema.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import { diskFault } from "../store/disk-fault.ts";
import { FIGURE_FONTS } from "../write-up/report-figures.ts";
import { noticeWords } from "./shot-words.ts";
import { UsageError, type VerbCall } from "./verb.ts";

/** The file the card is to be written to; null where none was asked for. */
export function cardFileOf({ card, mass }: VerbCall["options"]): string | null {
  if (typeof card !== "string") {
    if (mass !== undefined) throw new UsageError("--mass belongs to --card FILE.");
    return null;
  }
  if (![".svg", ".html"].includes(extname(card))) {
    throw new UsageError(`--card takes a file that ends in .svg or .html, not "${card}".`);
  }
  return card;
}

/** What the card is made for: the session's wishes, with what the command line says instead. */
export function cardAsk(
  asked: NextShot,
  { mass }: VerbCall["options"],
  { margin }: { readonly margin: number | undefined },
): NextShot {
  const masses = typeof mass === "string" ? mass.split(",").map(massOf) : undefined;
  if (masses !== undefined && masses.length >= CARD_MASSES) {
    throw new UsageError(`--mass takes ${CARD_MASSES - 1} masses at most, beside the airframe's own.`);
  }
  return {
    ...asked,
    leastStallMargin: margin ?? asked.leastStallMargin,
    ...(masses !== undefined && { cardMassesKg: masses }),
  };
}

function massOf(text: string): number {
  const value = text.trim() === "" ? Number.NaN : Number(text);
  if (value > 0 && value < Infinity) return value;
  throw new UsageError(`--mass takes numbers above zero in kg, parted by commas, not "${text}".`);
}

/**
 * Writes the card, or says why there is none.
 * @returns the exit status
 */
export async function written(file: string, card: SpeedCard, { terminal, json }: VerbCall): Promise<number> {
  const none = card.rows.length === 0;
  if (!none) {
    const path = resolve(terminal.cwd, file);
    try {
      const text =
        extname(file) === ".svg" ? `${cardSvg(card, FIGURE_FONTS)}\n` : cardPage(card, FIGURE_FONTS);
      await writeAtomically(path, text);
    } catch (error) {
      throw diskFault(error, `The file "${basename(path)}" could not be written`);
    }
  }
  if (json) terminal.out(`${JSON.stringify(card, null, 2)}\n`);
  else if (!none)
    terminal.out(
      `${basename(file)}: ${card.rows.length} rows, ${card.columns.length} ${card.columns.length === 1 ? "mass" : "masses"}.\n`,
    );
  const bad = card.cautions.filter(({ notice }) => notice.level !== "note").map(({ notice }) => notice);
  if (none) terminal.err(noticeWords(card.notices));
  else if (!json) terminal.out(noticeWords(bad));
  return none ? 1 : 0;
}
