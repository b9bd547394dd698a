import type { Moment } from "../../../shared/api/contract.ts";

/** The moments of one day, in the person's own time. */
export interface HistoryDay {
  readonly day: string;
  readonly moments: readonly { readonly moment: Moment; readonly time: string }[];
}

/** Groups moments by day, in the order they come in. */
export function daysOf(moments: readonly Moment[]): readonly HistoryDay[] {
  const days = new Map<string, { moment: Moment; time: string }[]>();
  for (const moment of moments) {
    const at = new Date(moment.at);
    const day = at.toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" });
    days.set(day, [...(days.get(day) ?? []), { moment, time: at.toLocaleTimeString("en-GB") }]);
  }
  return [...days].map(([day, ofDay]) => ({ day, moments: ofDay }));
}
