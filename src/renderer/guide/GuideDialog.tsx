import { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";
import { markFound } from "./found-text.ts";
import { GuideContents } from "./GuideContents.tsx";
import { GuideGo, GuideText } from "./GuideText.tsx";
import { partId } from "./guide-parts.ts";
import { PICTURES } from "./pictures.ts";
import { theGuide } from "./the-guide.ts";

/** The guide, open at the heading or the word that was asked for; contents at the side. */
export function GuideDialog() {
  const actions = useActions();
  const asked = useAppState((s) => s.guide);
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  const isOpen = asked !== null;
  // Before the page below brings its place into view: what is in a closed dialogue cannot be scrolled to.
  useLayoutEffect(() => {
    if (isOpen) dialog.current?.showModal();
    else dialog.current?.close();
  }, [isOpen]);
  return (
    <dialog ref={dialog} className="guide" aria-labelledby={id} onClose={() => actions.showGuide(null)}>
      <header className="guide-head">
        <h2 id={id}>Guide</h2>
        <button type="button" onClick={() => actions.showGuide(null)}>
          Close
        </button>
      </header>
      {asked === null ? null : <GuidePage asked={asked} onAsk={actions.showGuide} />}
    </dialog>
  );
}

interface GuidePageProps {
  readonly asked: string;
  readonly onAsk: (title: string) => void;
}

function GuidePage({ asked, onAsk }: GuidePageProps) {
  const { parts } = theGuide();
  const page = useRef<HTMLElement>(null);
  const [sought, seek] = useState("");
  const wanted = sought.trim().replace(/\s+/g, " ").toLowerCase();
  const holding = useMemo(
    () => parts.filter(({ depth, plain }) => depth > 1 && plain.toLowerCase().includes(wanted)),
    [parts, wanted],
  );
  useEffect(() => show(asked), [asked]);
  useEffect(() => {
    if (page.current !== null) markFound(page.current, wanted);
  }, [wanted]);
  function go(title: string): void {
    onAsk(title);
    show(title); // also where it was asked for already, and scrolled away from
  }
  return (
    <div className="guide-page">
      <GuideContents parts={holding} sought={sought} current={asked} onSeek={seek} onGo={go} />
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a page that scrolls is scrolled by keys too */}
      <article ref={page} tabIndex={0} aria-label="Text of the guide">
        <GuideGo value={{ go, pictures: PICTURES }}>
          {parts.map(({ title, depth, text }) => (
            <section key={title}>
              {depth > 1 ? (
                <h3 id={partId(title)} tabIndex={-1} className={`guide-depth-${depth}`}>
                  {title}
                </h3>
              ) : null}
              <GuideText tokens={text} />
            </section>
          ))}
        </GuideGo>
      </article>
    </div>
  );
}

/** Brings a heading or a word into view and gives it the focus, so that a reader begins there. */
function show(title: string): void {
  const place = document.getElementById(partId(title));
  place?.scrollIntoView({ block: "start" });
  place?.focus({ preventScroll: true });
}
