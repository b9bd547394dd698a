import type { Launcher } from "../../../shared/session/schema.ts";
import { TextField } from "../fields/TextField.tsx";
import { useChangeLauncher } from "../parts/use-things-in-view.ts";

/** A throw by hand, or a launcher no model describes: it has a name and nothing else to tell. */
export function NoModelFields({
  launcher,
}: {
  readonly launcher: Extract<Launcher, { readonly kind: "no-model" }>;
}) {
  const changeLauncher = useChangeLauncher();
  return (
    <>
      <TextField
        label="Name"
        value={launcher.name}
        most={80}
        optional
        onEntry={(name) => changeLauncher({ ...launcher, name })}
      />
      <p className="field-hint">Nothing is predicted; the measurement stands alone.</p>
    </>
  );
}
