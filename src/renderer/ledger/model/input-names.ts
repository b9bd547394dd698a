/*
 * Fields carry the path of their input ("launcher.boreM") in the page, and what is in a list stands in an
 * element that says its place in the launcher ("motors.0").
 */

/**
 * Name in the launcher of what an element of its form asks for: "boreM", "motors.0.aheadM"; null for none.
 */
export function inputNameOf(element: Element): string | null {
  const path = element.closest<HTMLElement>("[data-input]")?.dataset.input;
  const place = element.closest<HTMLElement>("[data-place]")?.dataset.place ?? null;
  if (path === undefined) return place;
  if (!path.startsWith("launcher.")) return null;
  const name = path.slice("launcher.".length);
  return place === null ? name : name.replace(/^[^.[]+\[\]/, place);
}

/** Whether a pointer moved, not the page under it: then its event has no way. */
export function isMoved({ movementX, movementY }: React.PointerEvent): boolean {
  return movementX !== 0 || movementY !== 0;
}

/**
 * Gives the focus to the first field of a form that asks for one of these, its fold opened.
 * @param names as in the launcher, the first preferred
 */
export function focusInput(form: HTMLElement, names: readonly string[]): void {
  const asking = [...form.querySelectorAll("[data-input], [data-place]")];
  for (const name of names) {
    const field = asking.find((one) => {
      const own = inputNameOf(one);
      return own === name || own?.startsWith(`${name}.`) === true || own?.startsWith(`${name}[`) === true;
    });
    const input = field?.querySelector<HTMLElement>("input:checked, input:not([type=radio]), textarea");
    if (field === undefined || input == null) continue;
    for (
      let fold = field.closest("details");
      fold !== null;
      fold = fold.parentElement?.closest("details") ?? null
    )
      fold.open = true;
    input.focus();
    if (input instanceof HTMLInputElement && input.type === "text") input.select();
    return;
  }
}
