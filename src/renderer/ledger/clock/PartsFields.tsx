import type { Clock, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";

type ByRate = Extract<Clock, { kind: "capture-rate" }>;
type Part = NonNullable<ByRate["parts"]>[number];

const HALF_A_FRAME = 0.3; // a border seen to lie between two frames

/** The stretches of a clip that were filmed at rates of their own: where each begins, and its rate. */
export function PartsFields({ shot, clock }: { readonly shot: Shot; readonly clock: ByRate }) {
  const actions = useActions();
  const frame = useAppState((s) => s.frame);
  const parts = clock.parts ?? [];
  const set = (next: readonly Part[] | undefined) =>
    actions.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { clock: { ...clock, parts: next === undefined ? undefined : [...next] } },
    });
  const change = (at: number, patch: Partial<Part>) =>
    set(inOrder(parts.map((part, k) => (k === at ? { ...part, ...patch } : part))));
  const isHere = parts.some(({ from }) => from.value === frame);
  return (
    <>
      <p className="plain">
        A super-slow-motion clip may hold stretches filmed at other rates, though all its frames are stamped
        alike. Go to the first frame of each stretch and add a part there. The capture rate above is that of
        the frames before the first.
      </p>
      {parts.map((part, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a part has no name but its place
        <div key={at}>
          <MeasuredField
            field={`${shot.id} part ${at} from`}
            label={`Part ${at + 2} begins at frame`}
            path="shots[].clock.parts[].from"
            measured={part.from}
            onEntry={(from) => from && change(at, { from })}
          />
          <MeasuredField
            field={`${shot.id} part ${at} rate`}
            label={`Rate of part ${at + 2}`}
            path="shots[].clock.parts[].captureRateHz"
            measured={part.captureRateHz}
            onEntry={(captureRateHz) => captureRateHz && change(at, { captureRateHz })}
          />
          <button
            type="button"
            className="quiet"
            onClick={() => {
              const left = parts.filter((_, k) => k !== at);
              set(left.length === 0 ? undefined : left);
            }}
          >
            Remove part {at + 2}
          </button>
        </div>
      ))}
      <p className="plain">
        <button
          type="button"
          disabled={frame < 1 || isHere}
          onClick={() =>
            set(
              inOrder([
                ...parts,
                { from: { value: frame, u: HALF_A_FRAME }, captureRateHz: clock.captureRateHz },
              ]),
            )
          }
        >
          A part begins at frame {frame}
        </button>
      </p>
    </>
  );
}

function inOrder(parts: readonly Part[]): readonly Part[] {
  return parts.toSorted((a, b) => a.from.value - b.from.value);
}
