import type { Notice } from "../quantity/notice.ts";
import {
  type CodeOf,
  danger,
  note,
  noticeCatalogue,
  refusal,
  type Told,
  warning,
} from "../quantity/notice-catalogue.ts";
import { DEFERENCE, ELASTIC_DEFERENCE } from "../results/notices/deference.ts";
import { DO_NOT_FILL, READ_THE_RATING } from "../results/notices/launch-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";

/** How a value stands to its limit where that is worth a word, with the numbers as they are shown. */
export type LimitTold =
  | { readonly state: "no-limit" | "no-value" }
  | { readonly state: "in-doubt" | "outside"; readonly value: string; readonly limit: string };

/** What is said of one limit. */
interface LimitWords {
  /** The value, to begin a sentence. */
  readonly words: string;
  readonly limitIs: "the limit" | "the least asked for" | "the relief valve's set point";
  readonly unstated: string;
  readonly state: string;
  /** What gives the model the value. */
  readonly give: string;
  /** What may happen, as the end of a sentence. */
  readonly may: string;
  readonly change: string;
  /** What helps while it is only in doubt, before what would change it. */
  readonly inDoubt: string;
}

const COMPLETE_THE_MODEL = "Complete what the model needs.";
const KEEP_OFF = "Keep a greater margin, or measure it more closely.";

const LIMIT_WORDS = {
  rating: {
    words: "Tank pressure",
    limitIs: "the limit",
    unstated: "The maker's rating of the weakest pressure part is not stated.",
    state: READ_THE_RATING,
    give: "Enter what the gauge reads.",
    may: "the tank may burst",
    change: DO_NOT_FILL,
    inDoubt: "Stay below it, or use a better gauge.",
  },
  relief: {
    words: "Tank pressure",
    limitIs: "the relief valve's set point",
    unstated: "No relief valve is stated.",
    state: "Enter where it opens under Model.",
    give: "Enter what the gauge reads.",
    may: "the valve opens, or fails to",
    change: DO_NOT_FILL,
    inDoubt: "Stay below it, or use a better gauge.",
  },
  load: {
    words: "Load factor",
    limitIs: "the limit",
    unstated: "No load limit of the airframe is stated.",
    state: "Enter one under Verdict.",
    give: COMPLETE_THE_MODEL,
    may: "the push can break the airframe",
    change: "Lengthen the stroke or strengthen the airframe.",
    inDoubt: KEEP_OFF,
  },
  "end-stop": {
    words: "Peak force of the end stop",
    limitIs: "the limit",
    unstated:
      "No rated load of the end stop's weakest joint is stated; joints at the stop are what breaks first in practice.",
    state: `Enter buffer travel and rated load under Model. ${DEFERENCE}`,
    give: "Enter the buffer's travel under Model.",
    may: "the joint at the stop can break and let piston and rod fly",
    change: `Give the buffer more travel, lighten what moves, or use a stronger joint. ${DEFERENCE}`,
    inDoubt: KEEP_OFF,
  },
  base: {
    words: "Push back on the base",
    limitIs: "the limit",
    unstated: "No rated load of the base's fixings is stated.",
    state: `Enter one under Model. ${DEFERENCE}`,
    give: COMPLETE_THE_MODEL,
    may: "the base can tear loose",
    change: `Fix it better, or push less hard. ${DEFERENCE}`,
    inDoubt: KEEP_OFF,
  },
  stretch: {
    words: "Stretch of the line over its free length",
    limitIs: "the limit",
    unstated: "No greatest stretch of the line is stated.",
    state: `Enter it and the free length under Model. ${ELASTIC_DEFERENCE}`,
    give: "Enter the free length of one line under Model.",
    may: "the line can break",
    change: `Use a longer line, or draw less. ${ELASTIC_DEFERENCE}`,
    inDoubt: KEEP_OFF,
  },
  anchor: {
    words: "Pull on the line's anchor",
    limitIs: "the limit",
    unstated: "No rated load of the line's anchor is stated.",
    state: `Enter one under Model. ${ELASTIC_DEFERENCE}`,
    give: COMPLETE_THE_MODEL,
    may: "the anchor can tear loose and fly along the line",
    change: `Use a stronger anchor, or draw less. ${ELASTIC_DEFERENCE}`,
    inDoubt: KEEP_OFF,
  },
  "carriage-stop": {
    words: "Peak force of the carriage's stop",
    limitIs: "the limit",
    unstated:
      "No rated load of the carriage's stop is stated; joints at the stop are what breaks first in practice.",
    state: `Enter buffer travel and rated load under Model. ${ELASTIC_DEFERENCE}`,
    give: "Enter the buffer's travel under Model.",
    may: "the joint at the stop can break and let the carriage fly",
    change: `Give the buffer more travel, lighten the carriage, or use a stronger joint. ${ELASTIC_DEFERENCE}`,
    inDoubt: KEEP_OFF,
  },
  stall: {
    words: "Stall margin",
    limitIs: "the least asked for",
    unstated: "No least stall margin is asked for.",
    state: "Ask for one; builders keep 1.2 to 1.3.",
    give: "Enter wing area and greatest lift coefficient under Verdict.",
    may: "the wing may not carry the airframe at release",
    change: "Launch faster, lighter, or into more wind.",
    inDoubt: KEEP_OFF,
  },
} satisfies Readonly<Record<string, LimitWords>>;

export type LimitName = keyof typeof LIMIT_WORDS;

/** What a limit's value is called, to begin a sentence or head a row. */
export function limitWords(name: LimitName): string {
  return LIMIT_WORDS[name].words;
}

function limitTold(name: LimitName, told: LimitTold): Told {
  const { words, limitIs, unstated, state, give, may, change, inDoubt }: LimitWords = LIMIT_WORDS[name];
  switch (told.state) {
    case "no-limit":
      return note(unstated, state);
    case "no-value":
      return warning(`${words} cannot be compared with its limit: the model does not predict it.`, give);
    case "outside":
      return danger(`${words} would be ${told.value}, ${limitIs} ${told.limit}: ${may}.`, change);
    case "in-doubt":
      return warning(
        `${words} would be ${told.value}, ${limitIs} ${told.limit}: within twice its uncertainty and scatter it may be passed, and ${may}.`,
        `${inDoubt} ${change}`,
      );
  }
}

/** What to know beside the number of each limit. */
export const LIMIT_NOTICES = noticeCatalogue(
  { about: "next-shot" },
  {
    "next-rating": (told: LimitTold) => limitTold("rating", told),
    "next-relief": (told: LimitTold) => limitTold("relief", told),
    "next-load": (told: LimitTold) => limitTold("load", told),
    "next-end-stop": (told: LimitTold) => limitTold("end-stop", told),
    "next-base": (told: LimitTold) => limitTold("base", told),
    "next-stretch": (told: LimitTold) => limitTold("stretch", told),
    "next-anchor": (told: LimitTold) => limitTold("anchor", told),
    "next-carriage-stop": (told: LimitTold) => limitTold("carriage-stop", told),
    "next-stall": (told: LimitTold) => limitTold("stall", told),
  },
);

/** Why there is no setting for the wanted speed, or none to be used. */
export const SETTING_NOTICES = noticeCatalogue(
  { about: "next-shot" },
  {
    "no-model": () =>
      refusal(
        "No model describes this launcher, so nothing says what would change the speed.",
        "The repeats of measured shots stand on their own.",
      ),
    "not-on-this-launcher": (choice: string, others: readonly string[]) =>
      refusal(`The ${choice} cannot be set on this launcher.`, `Choose one of: ${others.join(", ")}.`),
    /**
     * @param range "from 1.2 to 12 bar"
     * @param ends what the range ends at, as the end of a sentence, or nothing
     */
    "nothing-launches": (field: string, range: string, ends: string) =>
      refusal(
        `${field}: nothing moves at any value ${range}${ends === "" ? "" : `, ${ends}`}.`,
        "No speed can be had within it: check valve, bore, mass, angle and friction.",
      ),
    /**
     * @param range "from 1.2 to 12 bar"
     * @param inside what can be had inside all limits, a sentence or more
     */
    "speed-out-of-reach": (
      field: string,
      range: string,
      wanted: string,
      reached: readonly [slowest: string, fastest: string],
      inside: string,
    ) =>
      refusal(
        `${field}: no value ${range} gives the wanted ${wanted}. Within it the launcher reaches ${reached[0]} to ${reached[1]}.`,
        `${inside} Ask for a speed within reach, or change another input.`,
      ),
    "outside-limits": (wanted: string, setting: string, passes: string, inside: string) =>
      refusal(`The wanted ${wanted} needs ${setting}, which ${passes}.`, inside),
  },
);

/** Why there is no card for the field. */
export const CARD_NOTICES = noticeCatalogue(
  { about: "next-shot" },
  {
    "no-card": () =>
      refusal(
        "No model describes this launcher, so there is nothing to put on a card.",
        "The repeats of measured shots stand on their own.",
      ),
    "card-masses": (most: number) =>
      refusal(`A card has room for ${most} masses.`, "Leave some out, or make a second card."),
  },
);

/** All that this room says; what the model lacks is said in the words of the prediction. */
export const NEXT_NOTICES = { ...LIMIT_NOTICES, ...SETTING_NOTICES, ...CARD_NOTICES };
export type NextNotice = Notice<CodeOf<typeof NEXT_NOTICES>> | ShotNotice;
