import type { Session, Shot } from "../../shared/session/schema.ts";
import { airframeOf, launcherOf } from "../../shared/session/what-took-part.ts";

/**
 * "Brindle 2, from Hobnail ram": what a shot threw and what threw it, each where the session has more than
 * one; empty where it has one of each.
 */
export function thrownWords(session: Session, shot: Shot): readonly string[] {
  const { airframes, launchers } = session;
  const airframe = airframes.length < 2 ? [] : [nameOf(airframeOf(session, shot))];
  const launcher = launcherOf(session, shot);
  const from =
    launchers.length < 2 ? [] : [launcher === null ? "launcher not said" : `from ${nameOf(launcher)}`];
  const both = [...airframe, ...from].join(", ");
  return both === "" ? [] : [both];
}

/** What a person calls it, or its id where it has no name. */
export function nameOf({ id, name }: { readonly id: string; readonly name: string }): string {
  return name || id;
}
