import type { ComponentType } from "react";
import type { LauncherKind } from "../../../shared/inputs/input.ts";
import { freshElastic } from "../../../shared/launchers/elastic/fresh-elastic.ts";
import { freshRam } from "../../../shared/launchers/ram/fresh-ram.ts";
import { freshRocket } from "../../../shared/launchers/rocket/fresh-rocket.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { Launcher } from "../../../shared/session/schema.ts";
import { ElasticFields } from "./ElasticFields.tsx";
import { NoModelFields } from "./NoModelFields.tsx";
import { RamFields } from "./RamFields.tsx";
import { RocketFields } from "./RocketFields.tsx";

interface FieldsProps<L extends Launcher> {
  readonly launcher: L;
  /** Of the shot in the window: those that belong to a number here stand beside it. */
  readonly notices: readonly ShotNotice[];
}

/** How a person describes one kind of launcher. */
interface LauncherEntry<L extends Launcher> {
  /** Of the button that begins it. */
  readonly words: string;
  readonly fresh: () => L;
  readonly Fields: ComponentType<FieldsProps<L>>;
}

const ENTRIES: {
  readonly [Kind in LauncherKind]: LauncherEntry<Extract<Launcher, { readonly kind: Kind }>>;
} = {
  "compressed-air-ram": { words: "Describe a compressed-air ram", fresh: freshRam, Fields: RamFields },
  "rocket-boost": { words: "Describe rocket motors", fresh: freshRocket, Fields: RocketFields },
  "elastic-line": { words: "Describe an elastic line", fresh: freshElastic, Fields: ElasticFields },
  "no-model": {
    words: "Thrown by hand, or no model",
    fresh: () => ({ kind: "no-model", name: "" }),
    Fields: NoModelFields,
  },
};

/** The kinds of launcher that can be described, in the order they are offered. */
export const DESCRIBE_LAUNCHER: readonly Pick<LauncherEntry<Launcher>, "words" | "fresh">[] =
  Object.values(ENTRIES);

/** All that is typed of a launcher, by its kind. */
export function LauncherFields(props: FieldsProps<Launcher>) {
  const { Fields } = ENTRIES[props.launcher.kind] as LauncherEntry<Launcher>;
  return <Fields {...props} />;
}
