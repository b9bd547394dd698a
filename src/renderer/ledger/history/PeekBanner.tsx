import { useActions, useAppState } from "../../actions/app-context.ts";
import { momentTime } from "./moment-time.ts";

/** Says that an earlier state is in the window, and offers to take it or to leave it. */
export function PeekBanner() {
  const actions = useActions();
  const peek = useAppState((s) => s.peek);
  if (peek === null) return null;
  return (
    <section className="notice peek" aria-label="Earlier state">
      You are looking at the session as it was {momentTime(peek.at, new Date())}. Last step: {peek.says}.{" "}
      <span className="remedy">Nothing is changed yet.</span>{" "}
      <button type="button" onClick={actions.takePeek}>
        Go back to this state
      </button>{" "}
      <button type="button" onClick={actions.endPeek}>
        Return to now
      </button>
    </section>
  );
}
