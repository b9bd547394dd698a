import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../shared/quantity/measured.ts";
import { QUANTITIES, QUANTITY_NAMES } from "../../shared/results/quantity-table.ts";
import { HEADLINES, type ShotResult } from "../../shared/results/shot-result.ts";
import { type Html, html } from "./html.ts";

/** The four headline results in large type, each with its standard uncertainty and unit. */
export function headlinesHtml(result: ShotResult, units: UnitSet): Html {
  return html`<div class="headlines">${HEADLINES.map((name) => {
    const quantity = result.measurement?.quantities[name];
    const { words, unit } = QUANTITIES[name];
    if (quantity === undefined) {
      return html`<div><span class="soft">${words}</span><b>—</b><span class="u">not measured</span></div>`;
    }
    const isSigned = name === "pitchRateAtRelease";
    const shown = showMeasured(quantity, unit, units, isSigned);
    const sense = !isSigned || quantity.value === 0 ? "" : quantity.value > 0 ? ", nose up" : ", nose down";
    const symbol = shown.symbol === "°" ? "°" : ` ${shown.symbol}`;
    return html`<div><span class="soft">${words}</span><b>${shown.value}</b><span class="u">± ${shown.u}${symbol}${sense}</span></div>`;
  })}</div>`;
}

/**
 * Measured against predicted, with the difference and how many of its own uncertainties it is;
 * null with no comparison.
 */
export function comparisonTable(result: ShotResult, units: UnitSet): Html | null {
  const { measurement, prediction, comparison } = result;
  if (measurement === null || prediction === null || comparison === null) return null;
  const rows = comparison.differences.map(({ name, difference, relative, inU }) => {
    const { words, unit } = QUANTITIES[name];
    const percent = { value: 100 * relative.value, u: 100 * relative.u };
    return html`<tr><td>${words}</td>
<td class="n m">${cell(measurement.quantities[name], unit, units)}</td>
<td class="n p">${cell(prediction.quantities[name], unit, units)}</td>
<td class="n">${text(difference, unit, units, true)}</td>
<td class="n">${text(percent, "1", units, true)} %</td>
<td class="n">${signed(inU)}</td></tr>`;
  });
  return html`<h3>Measured and predicted</h3>
<table><thead><tr><th scope="col">Result</th><th class="n" scope="col">measured</th><th class="n" scope="col">predicted</th>
<th class="n" scope="col">predicted − measured</th><th class="n" scope="col">of measured</th><th class="n" scope="col">difference / its u</th></tr></thead>
<tbody>${rows}</tbody></table>
<p class="soft">Model and measurement share one clock: ${comparison.alignment.how}. u: the standard uncertainty (k = 1) of the difference.</p>`;
}

/** Every measured result with how it was obtained. */
export function resultsTable(result: ShotResult, units: UnitSet): Html | null {
  const quantities = result.measurement?.quantities ?? {};
  const rows = QUANTITY_NAMES.flatMap((name) => {
    const quantity = quantities[name];
    if (quantity === undefined) return [];
    const { words, unit } = QUANTITIES[name];
    return [
      html`<tr><td>${words}</td><td class="n m">${cell(quantity, unit, units)}</td><td class="how">${quantity.how}</td></tr>`,
    ];
  });
  if (rows.length === 0) return null;
  return html`<h3>All results of this shot</h3>
<table><thead><tr><th scope="col">Result</th><th class="n" scope="col">value ± u</th><th scope="col">how</th></tr></thead>
<tbody>${rows}</tbody></table>`;
}

/**
 * Where the uncertainty of each headline result comes from: each source's u and its share of the variance.
 */
export function budgetTable(result: ShotResult, units: UnitSet): Html | null {
  const { measurement } = result;
  const named = HEADLINES.filter((name) => (measurement?.budget[name]?.length ?? 0) > 0);
  if (measurement === null || named.length === 0) return null;
  const lines = named.map((name) => measurement.budget[name]!);
  const sources = [...new Set(lines.flatMap((line) => line.map(({ source }) => source)))];
  const variances = lines.map((line) => line.reduce((sum, { u }) => sum + u * u, 0));
  const isAssumed = (source: string) =>
    lines.some((line) => line.some((one) => one.source === source && one.assumed === true));
  const rows = sources.map(
    (source) =>
      html`<tr><td>${source}${isAssumed(source) ? " (assumed)" : ""}</td>${named.map((name, i) => {
        const line = elementAt(lines, i).find((one) => one.source === source);
        if (line === undefined) return html`<td class="n">—</td>`;
        const share = elementAt(variances, i) > 0 ? line.u ** 2 / elementAt(variances, i) : 0;
        const { unit } = QUANTITIES[name];
        // A rect of SVG, so that no style attribute is needed for its length.
        return html`<td class="n">${percentText(share)} <span class="small">${uText(line.u, unit, units)}</span>${shareBar(share)}</td>`;
      })}</tr>`,
  );
  const sums = named.map((name, i) => {
    const { unit } = QUANTITIES[name];
    return html`<td class="n">${uText(Math.sqrt(elementAt(variances, i)), unit, units)}</td>`;
  });
  return html`<h3>Where the uncertainty comes from</h3>
<table><thead><tr><th scope="col">Source</th>${named.map((name) => html`<th class="n" scope="col">${QUANTITIES[name].words}</th>`)}</tr></thead>
<tbody>${rows}<tr class="sum"><td>standard uncertainty</td>${sums}</tr></tbody></table>
<p class="soft">Per cent: share of the variance. Small: the source's own standard uncertainty; their root sum of squares is the last line.</p>`;
}

/** The shots of the outing side by side; null for a single one. */
export function overviewTable(
  results: readonly ShotResult[],
  nameOf: (shotId: string) => string,
  units: UnitSet,
): Html | null {
  if (results.length < 2) return null;
  const rows = results.map(
    (result) =>
      html`<tr><td>${nameOf(result.shotId)}</td>${HEADLINES.map(
        (name) =>
          html`<td class="n m">${cell(result.measurement?.quantities[name], QUANTITIES[name].unit, units)}</td>`,
      )}</tr>`,
  );
  return html`<h3>Shots of this outing</h3>
<table><thead><tr><th scope="col">Shot</th>${HEADLINES.map((name) => html`<th class="n" scope="col">${QUANTITIES[name].words}</th>`)}</tr></thead>
<tbody>${rows}</tbody></table>`;
}

function shareBar(share: number): Html {
  const width = (60 * Math.min(share, 1)).toFixed(1);
  return html`<svg class="share" width="60" height="4" viewBox="0 0 60 4" aria-hidden="true"><rect x="${(60 - Number(width)).toFixed(1)}" width="${width}" height="4"></rect></svg>`;
}

function percentText(share: number): string {
  const percent = 100 * share;
  return percent > 0 && percent < 1 ? "< 1 %" : `${percent.toFixed(0)} %`;
}

function cell(quantity: Quantity | undefined, unit: Unit, units: UnitSet): string {
  // Which way it turns is half of what a pitch rate says.
  return quantity === undefined ? "—" : text(quantity, unit, units, unit === "rad/s");
}

function text(measured: Measured, unit: Unit, units: UnitSet, isSigned: boolean): string {
  return showMeasured(measured, unit, units, isSigned).text.trim();
}

/** The uncertainty alone, rounded as it would be beside its value. */
function uText(u: number, unit: Unit, units: UnitSet): string {
  const shown = showMeasured({ value: 0, u }, unit, units);
  return `± ${shown.u}${shown.symbol === "°" ? "" : " "}${shown.symbol}`.trim();
}

function signed(x: number): string {
  const digits = Math.abs(x).toFixed(1);
  return Number(digits) === 0 ? digits : (x > 0 ? "+" : "−") + digits;
}
