import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { type MeasuredLine, MeasuredLines } from "../fields/MeasuredLines.tsx";
import { More } from "../fields/More.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";

type Fill = NonNullable<RamLauncher["fill"]>;
type By = Fill["by"] | "unknown";

// Guesses seen to be ones, as the fresh launcher's.
const GUESSED: Readonly<Record<Fill["by"], Fill>> = {
  "hand-pump": {
    by: "hand-pump",
    strokeVolumeM3: { value: 2e-4, u: 7e-5 },
    clearanceM3: { value: 5e-6, u: 3e-6 },
    strokesPerS: { value: 0.7, u: 0.2 },
  },
  compressor: { by: "compressor", freeAirM3PerS: { value: 3e-4, u: 1e-4 } },
};

const WORDS: Readonly<Record<By, string>> = {
  unknown: "not stated",
  "hand-pump": "a hand pump",
  compressor: "a compressor",
};

export interface FillFieldsProps {
  readonly fill: Fill | undefined;
  /** What is to be read beside these fields. */
  readonly notices: readonly ShotNotice[];
  readonly onFill: (fill: Fill | undefined) => void;
}

const PUMP: readonly MeasuredLine<Extract<Fill, { by: "hand-pump" }>>[] = [
  { key: "strokeVolumeM3" },
  { key: "clearanceM3" },
  { key: "strokesPerS" },
];
const COMPRESSOR: readonly MeasuredLine<Extract<Fill, { by: "compressor" }>>[] = [{ key: "freeAirM3PerS" }];

/** What fills the tank: tells how long it takes. */
export function FillFields({ fill, notices, onFill }: FillFieldsProps) {
  const by: By = fill?.by ?? "unknown";
  return (
    <>
      <More title="What fills it" says={WORDS[by]}>
        <Choice
          label="The tank is filled by"
          part="launcher.fill"
          options={[
            ["unknown", WORDS.unknown],
            ["hand-pump", WORDS["hand-pump"]],
            ["compressor", WORDS.compressor],
          ]}
          value={by}
          onChoose={(choice) => choice !== by && onFill(choice === "unknown" ? undefined : GUESSED[choice])}
        />
        {fill?.by === "hand-pump" ? (
          <MeasuredLines
            at="launcher.fill."
            lines={PUMP}
            of={fill}
            onEntry={(part) => onFill({ ...fill, ...part })}
          />
        ) : null}
        {fill?.by === "compressor" ? (
          <MeasuredLines
            at="launcher.fill."
            lines={COMPRESSOR}
            of={fill}
            onEntry={(part) => onFill({ ...fill, ...part })}
          />
        ) : null}
      </More>
      <NoticeList notices={notices} />
    </>
  );
}
