import { type ReactNode, useEffect, useId, useMemo, useRef } from "react";
import type { Notice } from "../../../shared/quantity/notice.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import type { Step } from "../../app-state/app-state.ts";
import { PartBoundary } from "../../boundary/PartBoundary.tsx";
import { Worded } from "../../guide/Worded.tsx";
import { GUIDE_PARTS } from "./guide-parts-of.ts";
import { keepInView } from "./keep-in-view.ts";
import { NoticeList } from "./NoticeList.tsx";
import { numbersHeld, type Said } from "./sentences.ts";

// the four results stay over the top of the ledger; its style leaves them the same room
const HEADLINES_PX = 172;

/** What stands under an open heading: it fails alone, and is tried again at the next step of the session. */
function Body({ title, children }: Pick<SectionProps, "title" | "children">) {
  const session = useAppState((s) => s.history.present);
  const drawnFrom = useMemo(() => ({ session, children }), [session, children]);
  return (
    <PartBoundary name={title} drawnFrom={drawnFrom}>
      {children}
    </PartBoundary>
  );
}

export interface SectionProps {
  readonly step: Step;
  readonly title: string;
  readonly says: Said;
  /** share of the chosen result's variance that is caused here, 0 to 1; null when there is no budget */
  readonly share: number | null;
  readonly notices: readonly Notice<string>[];
  readonly children: ReactNode;
}

/**
 * A heading of the ledger: what is known, its share of the uncertainty, and, when
 * open, the means to change it.
 */
export function Section({ step, title, says, share, notices, children }: SectionProps) {
  const actions = useActions();
  const open = useAppState((s) => s.step === step);
  const id = useId();
  const box = useRef<HTMLElement>(null);
  const wasOpen = useRef(open);
  const fromStart = useRef(open);
  useEffect(() => {
    const element = box.current;
    if (open && !wasOpen.current && element !== null) {
      const fits = element.offsetHeight < (element.closest("main")?.clientHeight ?? 0) - HEADLINES_PX;
      element.scrollIntoView({ block: fits ? "nearest" : "start" });
    }
    wasOpen.current = open;
  }, [open]);
  useEffect(() => {
    const main = box.current?.closest("main") ?? null;
    // Nobody opened it and nobody scrolled: of a page that has just come the top is to be seen first.
    const untouched = fromStart.current && main?.scrollTop === 0;
    fromStart.current = false;
    return open && !untouched && box.current !== null && main !== null
      ? keepInView(box.current, main, HEADLINES_PX)
      : undefined;
  }, [open]);
  return (
    <section ref={box} className={`section ${open ? "open" : ""}`} data-step={step}>
      <h2>
        <button
          type="button"
          aria-expanded={open}
          aria-controls={id}
          onClick={() => actions.openStep(open ? null : step)}
        >
          <span className="section-title">{title}</span>
          {share !== null && share >= 0.005 ? (
            <span className="section-share">{Math.round(share * 100)} % of the variance</span>
          ) : null}
          {says.done ? null : <span className="section-next">to do</span>}
        </button>
      </h2>
      <p className="section-says">
        <Worded text={numbersHeld(says.text)} />
      </p>
      <div id={id} className="section-body" hidden={!open}>
        {open ? (
          <>
            <NoticeList notices={notices.filter(({ level }) => level !== "note")} />
            <Body title={title}>{children}</Body>
            <NoticeList notices={notices.filter(({ level }) => level === "note")} />
            <p className="section-guide">
              <button type="button" className="quiet" onClick={() => actions.showGuide(GUIDE_PARTS[step])}>
                {title} in the guide
              </button>
            </p>
          </>
        ) : null}
      </div>
    </section>
  );
}
