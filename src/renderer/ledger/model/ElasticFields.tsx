import {
  ELASTIC_DRAW,
  ELASTIC_LOAD,
  ELASTIC_PULL,
  ELASTIC_SCALE,
} from "../../../shared/inputs/elastic-inputs.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { ElasticLauncher } from "../../../shared/session/schema.ts";
import { linesOf, MeasuredLines } from "../fields/MeasuredLines.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { TextField } from "../fields/TextField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { useChangeLauncher } from "../parts/use-things-in-view.ts";
import { ELASTIC_TABLE } from "./elastic-table.ts";
import { LineLoadFields } from "./LineLoadFields.tsx";
import { PointTableField } from "./PointTableField.tsx";

const PULL = linesOf({ ...ELASTIC_DRAW, ...ELASTIC_PULL });
const SCALE = linesOf(ELASTIC_SCALE);
const LOAD = linesOf(ELASTIC_LOAD);
const MOST_LINES = 20;

/** All that the elastic-line model takes of the launcher. */
export function ElasticFields(props: {
  readonly launcher: ElasticLauncher;
  /** Of the shot in the window: those that belong to a number here stand beside it. */
  readonly notices: readonly ShotNotice[];
}) {
  const { launcher, notices } = props;
  const changeLauncher = useChangeLauncher();
  const patch = (part: Partial<ElasticLauncher>) => changeLauncher({ ...launcher, ...part });
  return (
    <>
      <TextField label="Name" value={launcher.name} most={80} optional onEntry={(name) => patch({ name })} />
      <h3>Pull</h3>
      <MeasuredLines lines={PULL} of={launcher} onEntry={patch} />
      <NumberField
        path="launcher.lines"
        value={launcher.lines}
        hint={`A whole number, ${MOST_LINES} at most.`}
        onEntry={(lines) =>
          lines !== null && patch({ lines: Math.min(MOST_LINES, Math.max(1, Math.round(lines))) })
        }
      />
      <NoticeList notices={noticesBeside("pull", notices)} />
      <h3>One line's force</h3>
      <PointTableField
        field="launcher loading"
        part="launcher.loading"
        label="Drawing out: extension in m, force in N"
        hint="One point a line, from 0 on, measured with a spring balance while drawing out."
        table={ELASTIC_TABLE}
        points={launcher.loading}
        onEntry={(points) => points && patch({ loading: points.map(([x, f]) => [x, f]) })}
      />
      <PointTableField
        field="launcher unloading"
        part="launcher.unloading"
        label="Letting in: extension in m, force in N"
        hint="The same on the way back, from the draw that is used. Left empty, the predicted speed is an upper bound."
        table={ELASTIC_TABLE}
        points={launcher.unloading}
        optional
        onEntry={(points) => patch({ unloading: points?.map(([x, f]) => [x, f]) ?? null })}
      />
      <MeasuredLines lines={SCALE} of={launcher} onEntry={patch} />
      <NoticeList notices={noticesBeside("tables", notices)} />
      <h3>What it moves</h3>
      <MeasuredLines lines={LOAD} of={launcher} onEntry={patch} />
      <LineLoadFields launcher={launcher} notices={noticesBeside("line-loads", notices)} onLauncher={patch} />
    </>
  );
}
