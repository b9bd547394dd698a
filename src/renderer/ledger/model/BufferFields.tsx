import type { RamLauncher } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NumberField } from "../fields/NumberField.tsx";

/** What stops the parts that stay on a launcher; not known where it is left out. */
export type EndStop = RamLauncher["endStop"];

// A guess seen to be one, as the fresh launcher's.
const GUESSED_STOP: NonNullable<EndStop> = {
  bufferTravelM: { value: 0.02, u: 0.007 },
  ratedLoadN: null,
};

/** The buffer of an end stop, and the rated load of the weakest joint there. */
export function BufferFields(props: {
  /** What asks whether its travel is known. */
  readonly asks: string;
  readonly endStop: EndStop;
  readonly onEndStop: (endStop: EndStop) => void;
}) {
  const { asks, endStop, onEndStop } = props;
  return (
    <>
      <Choice
        label={asks}
        part="launcher.endStop"
        options={[
          ["unknown", "not known"],
          ["known", "known"],
        ]}
        value={endStop === undefined ? "unknown" : "known"}
        onChoose={(choice) => onEndStop(choice === "known" ? GUESSED_STOP : undefined)}
      />
      {endStop === undefined ? null : (
        <>
          <MeasuredField
            field="launcher bufferTravelM"
            path="launcher.endStop.bufferTravelM"
            measured={endStop.bufferTravelM}
            onEntry={(bufferTravelM) => bufferTravelM && onEndStop({ ...endStop, bufferTravelM })}
          />
          <NumberField
            path="launcher.endStop.ratedLoadN"
            optional
            value={endStop.ratedLoadN}
            onEntry={(ratedLoadN) => onEndStop({ ...endStop, ratedLoadN })}
          />
        </>
      )}
    </>
  );
}
