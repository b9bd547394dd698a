/**
 * When something was done, in the person's own time: the time alone on the day itself, else with the day.
 * @param at ISO 8601  @param now decides which day is today
 */
export function momentTime(at: string, now: Date): string {
  const then = new Date(at);
  const time = then.toLocaleTimeString("en-GB");
  if (then.toDateString() === now.toDateString()) return `today at ${time}`;
  const day = then.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
  return `on ${day} at ${time}`;
}
