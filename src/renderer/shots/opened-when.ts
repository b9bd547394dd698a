/**
 * When a folder was last opened, in the person's own time: with the time of day for today and yesterday,
 * the date alone before.
 * @param at ISO 8601  @param now decides which day is today
 */
export function openedWhen(at: string, now: Date): string {
  const then = new Date(at);
  const time = then.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  if (then.toDateString() === now.toDateString()) return `opened today at ${time}`;
  const yesterday = new Date(now.getFullYear(), now.getMonth(), now.getDate() - 1);
  if (then.toDateString() === yesterday.toDateString()) return `opened yesterday at ${time}`;
  return `opened on ${then.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" })}`;
}
