import { useMemo, useRef } from "react";
import { cardPage, cardSvg } from "../../../shared/figures/card-svg.ts";
import type { SpeedCard } from "../../../shared/next-shot/card-content.ts";
import { CARD_MASSES } from "../../../shared/next-shot/speed-card.ts";
import type { NextShot } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { NumberField } from "../fields/NumberField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";

const FONT = 'Inter, "Helvetica Neue", Arial, sans-serif';

/** The card for the field: for which masses, what it looks like, and ways to paper. */
export function CardPart(props: {
  readonly ask: NextShot;
  readonly card: SpeedCard | null;
  readonly kind: keyof typeof CARD_NAMES;
  readonly open: boolean;
  readonly onOpen: (open: boolean) => void;
}) {
  const { ask, card, kind, open, onOpen } = props;
  return (
    <>
      <h3>For the field</h3>
      <p className="buttons">
        <button type="button" aria-expanded={open} onClick={() => onOpen(!open)}>
          {CARD_NAMES[kind]}
        </button>
      </p>
      {open ? <CardMasses ask={ask} /> : null}
      {open && card !== null ? <CardView card={card} /> : null}
    </>
  );
}

const CARD_NAMES = { pressure: "Pressure card", draw: "Draw card", motor: "Motor card" } as const;

/** Masses that are flown beside the airframe's present one. */
function CardMasses({ ask }: { readonly ask: NextShot }) {
  const actions = useActions();
  const masses = ask.cardMassesKg ?? [];
  const shown = Math.min(masses.length + 1, CARD_MASSES - 1);
  return Array.from({ length: shown }, (_, i) => (
    <NumberField
      // biome-ignore lint/suspicious/noArrayIndexKey: a mass is known by its place alone
      key={i}
      label={i === 0 ? "Further mass on the card" : "A third mass"}
      path="nextShot.cardMassesKg[]"
      optional
      value={masses[i] ?? null}
      onEntry={(value) => {
        const changed = value === null ? masses.toSpliced(i, 1) : masses.toSpliced(i, 1, value);
        actions.change({ kind: "set-next-shot", nextShot: { ...ask, cardMassesKg: changed } });
      }}
    />
  ));
}

function CardView({ card }: { readonly card: SpeedCard }) {
  const there = card.rows.length > 0;
  const svg = useMemo(() => (there ? cardSvg(card, FONT) : ""), [card, there]);
  const page = useMemo(
    () => (there ? `data:text/html;charset=utf-8,${encodeURIComponent(cardPage(card, FONT))}` : ""),
    [card, there],
  );
  const frame = useRef<HTMLIFrameElement>(null);
  if (!there) return <NoticeList notices={card.notices} />;
  return (
    <>
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own drawing, its texts escaped where it is made */}
      <div className="field-card" dangerouslySetInnerHTML={{ __html: svg }} />
      <p className="buttons">
        <button type="button" onClick={() => frame.current?.contentWindow?.print()}>
          Print the card
        </button>
        <a className="plain-link" href={page} download="card.html">
          Save the card
        </a>
      </p>
      <iframe
        ref={frame}
        className="print-only"
        title="The card, to be printed"
        srcDoc={cardPage(card, FONT)}
      />
    </>
  );
}
