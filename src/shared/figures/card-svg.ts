import type { SpeedCard } from "../next-shot/card-content.ts";
import { plainNumber } from "../next-shot/plain-number.ts";
import { cardChart } from "./card-chart.ts";
import {
  cardConditions,
  cardTitle,
  cautionSays,
  cellWords,
  letterOf,
  limitsOfCard,
  massSays,
  tableSays,
} from "./card-words.ts";
import { textElement } from "./labels-svg.ts";
import { LOOKS, type Look } from "./look.ts";
import { textWidthPx } from "./text-width.ts";
import { wrapText } from "./wrap-text.ts";
import { element, escapeXml } from "./xml.ts";

/** A quarter of a page of A4 and of Letter alike: 105 mm by 139 mm, in css px. */
const QUARTER = { width: 396, height: 524 } as const;
const MARGIN = 20; // px, 5 mm: what printers leave blank
const ROOM = QUARTER.width - 2 * MARGIN;
const CHART_PX = 186;
const ROW_PX = 14.5;
const SMALL_PX = 8.6;
const LINE_PX = 11.2;
const SETTING_PX = 62; // of the first column

/**
 * The card as one SVG on white paper: quarters of a page beside and below each other, to be cut and folded.
 * The first holds chart, table and limits, the others the cautions.
 * @throws RangeError for a card without rows: its notices say why there is none
 */
export function cardSvg(card: SpeedCard, fontFamily: string): string {
  if (card.rows.length === 0) throw new RangeError("cardSvg: need a card with rows");
  const look = LOOKS.print;
  const quarters = [frontOf(card, look), ...backsOf(card, look)];
  const [width, height] = [2 * QUARTER.width, QUARTER.height * Math.ceil(quarters.length / 2)];
  const title = `${cardTitle(card)}: ${card.launcher}`;
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: `${(width * MM).toFixed(1)}mm`,
      height: `${(height * MM).toFixed(1)}mm`,
      viewBox: `0 0 ${width} ${height}`,
      "font-family": fontFamily,
      "font-size": 10,
      fill: look.ink,
      role: "img",
    },
    element("title", {}, escapeXml(title)),
    element("rect", { width, height, fill: look.paper }),
    ...quarters.map((inside, i) => {
      const [x, y] = [(i % 2) * QUARTER.width, Math.floor(i / 2) * QUARTER.height];
      return element("g", { transform: `translate(${x} ${y})` }, edge(look), inside);
    }),
  );
}

const MM = 25.4 / 96;

/** The page a card is printed from, whatever the size of its paper. */
export function cardPage(card: SpeedCard, fontFamily: string): string {
  const title = escapeXml(`${cardTitle(card)}: ${card.launcher}`);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>${title}</title>
<style>@page{margin:0}html,body{margin:0;background:#fff}svg{display:block}*{print-color-adjust:exact;-webkit-print-color-adjust:exact}</style>
</head><body>${cardSvg(card, fontFamily)}</body></html>
`;
}

/** Where to cut and to fold. */
function edge(look: Look): string {
  const { width, height } = QUARTER;
  const line = { fill: "none", stroke: look.hairline, "stroke-width": 0.8, "stroke-dasharray": "2 3" };
  return element("rect", { x: 0.5, y: 0.5, width: width - 1, height: height - 1, ...line });
}

function frontOf(card: SpeedCard, look: Look): string {
  const { setting } = card;
  const name = [card.launcher, card.title].filter((one) => one !== "").join(" · ");
  const head = [
    textElement({ x: MARGIN, y: 32, "font-size": 14, "font-weight": 600 }, cardTitle(card)),
    textElement({ x: MARGIN, y: 46, fill: look.soft }, cut(name, ROOM, 10)),
  ].join("");
  const conditions = lines(cardConditions(card), 58, look.soft);
  const chartTop = conditions.bottom + 2;
  const tableTop = setting === null ? chartTop + 8 : chartTop + CHART_PX + 4;
  const chart = cardChart(
    card,
    { left: MARGIN, right: QUARTER.width - MARGIN, top: chartTop, bottom: chartTop + CHART_PX },
    look,
  );
  const table = tableOf(card, tableTop, look);
  const says = lines(tableSays(card), table.bottom + 13, look.soft);
  const care = "Limits and cautions: on the other half. No card says that something is safe.";
  return [
    head,
    conditions.svg,
    chart,
    table.svg,
    says.svg,
    textElement(
      { x: MARGIN, y: QUARTER.height - 14, "font-size": SMALL_PX, "font-weight": 600, fill: look.danger },
      care,
    ),
  ].join("");
}

function tableOf(
  card: SpeedCard,
  top: number,
  look: Look,
): { readonly svg: string; readonly bottom: number } {
  const { rows, columns, setting, units } = card;
  const first = setting === null ? 110 : SETTING_PX;
  const each = (ROOM - first) / columns.length;
  const right = (j: number) => MARGIN + first + each * (j + 1);
  const base = top + 12;
  const heading = [
    textElement(
      { x: MARGIN, y: base, "font-size": SMALL_PX, fill: look.soft },
      setting === null ? "Motors" : "Set",
    ),
    ...columns.map((column, j) =>
      textElement(
        { x: right(j), y: base, "text-anchor": "end", "font-size": 9.5, "font-weight": 600 },
        massSays(column, units),
      ),
    ),
    rule(base + 4, look.ink),
  ];
  const body = rows.map(({ x, name }, i) => {
    const y = base + 4 + ROW_PX * (i + 1) - 3.5;
    const what =
      x === null || setting === null ? cut(name ?? "", first - 6, 9.5) : plainNumber(x, setting.unit, units);
    return [
      textElement({ x: MARGIN, y, "font-size": 9.5 }, what),
      ...columns.map(({ cells }, j) => cellSvg(cells[i], right(j), y, each - 8, units, look)),
      rule(y + 3.5, look.hairline),
    ].join("");
  });
  return { svg: [...heading, ...body].join(""), bottom: base + 4 + ROW_PX * rows.length };
}

function cellSvg(
  cell: SpeedCard["columns"][number]["cells"][number],
  right: number,
  y: number,
  width: number,
  units: SpeedCard["units"],
  look: Look,
): string {
  const { speed, interval, forbidden, letters } = cellWords(cell, units);
  const at = { x: right, y, "text-anchor": "end" };
  if (forbidden !== "") {
    return textElement({ ...at, "font-size": SMALL_PX, fill: look.danger }, cut(forbidden, width, SMALL_PX));
  }
  return element(
    "text",
    { ...at, "font-size": SMALL_PX },
    element("tspan", { "font-size": 10.5, "font-weight": 600 }, escapeXml(speed)),
    interval === "" ? "" : escapeXml(`\u2002${interval}`),
    letters === ""
      ? ""
      : element("tspan", { fill: look.danger, "font-weight": 600 }, escapeXml(` ${letters}`)),
  );
}

/** Limits and cautions, in as many quarters as they take. */
function backsOf(card: SpeedCard, look: Look): readonly string[] {
  const quarters: string[][] = [];
  let y = Number.POSITIVE_INFINITY;
  const heading = (text: string) => {
    y += 20;
    quarters.at(-1)?.push(textElement({ x: MARGIN, y, "font-size": 14, "font-weight": 600 }, text));
    y += 20;
  };
  const paragraph = (text: string, letter: string, fill: string) => {
    const wrapped = wrapText(text, ROOM - 14, SMALL_PX);
    if (y + LINE_PX * wrapped.length > QUARTER.height - MARGIN) {
      quarters.push([]);
      y = 32;
    }
    quarters
      .at(-1)
      ?.push(
        textElement({ x: MARGIN, y, "font-size": SMALL_PX, "font-weight": 600, fill }, letter),
        ...wrapped.map((line, j) =>
          textElement({ x: MARGIN + 14, y: y + LINE_PX * j, "font-size": SMALL_PX, fill }, line),
        ),
      );
    y += LINE_PX * wrapped.length + 4;
  };
  quarters.push([]);
  y = 12;
  heading("Limits");
  for (const sentence of limitsOfCard(card)) paragraph(sentence, "", look.ink);
  heading("Take care");
  card.cautions.forEach((caution, i) => {
    const bad = caution.notice.level === "danger" || caution.notice.level === "refusal";
    paragraph(cautionSays(caution, card), letterOf(i), bad ? look.danger : look.ink);
  });
  return quarters.map((parts) => parts.join(""));
}

function lines(text: string, top: number, fill: string): { readonly svg: string; readonly bottom: number } {
  const wrapped = wrapText(text, ROOM, SMALL_PX);
  const svg = wrapped
    .map((line, i) => textElement({ x: MARGIN, y: top + LINE_PX * i, "font-size": SMALL_PX, fill }, line))
    .join("");
  return { svg, bottom: top + LINE_PX * wrapped.length };
}

function rule(y: number, stroke: string): string {
  return element("line", {
    x1: MARGIN,
    x2: QUARTER.width - MARGIN,
    y1: y,
    y2: y,
    stroke,
    "stroke-width": 0.8,
  });
}

/** A name that has to fit, with an ellipsis where it does not. */
function cut(text: string, width: number, fontPx: number): string {
  if (textWidthPx(text, fontPx) <= width) return text;
  let kept = text;
  while (kept.length > 1 && textWidthPx(`${kept}…`, fontPx) > width) kept = kept.slice(0, -1);
  return `${kept.trimEnd()}…`;
}
