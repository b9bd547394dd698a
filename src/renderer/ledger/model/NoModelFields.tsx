import type { Launcher } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { TextField } from "../fields/TextField.tsx";

/** A throw by hand, or a launcher no model describes: it has a name and nothing else to tell. */
export function NoModelFields({
  launcher,
}: {
  readonly launcher: Extract<Launcher, { readonly kind: "no-model" }>;
}) {
  const actions = useActions();
  return (
    <>
      <TextField
        label="Name"
        value={launcher.name}
        most={80}
        optional
        onEntry={(name) => actions.change({ kind: "set-launcher", launcher: { ...launcher, name } })}
      />
      <p className="field-hint">Nothing is predicted; the measurement stands alone.</p>
    </>
  );
}
