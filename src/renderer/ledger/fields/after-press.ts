/*
 * What a field does when it is left may move the page: a problem below it goes, a result comes. A pointer
 * that is down has aimed at the page as it was, so that has to wait until it is up again, or the click hits
 * nothing.
 */

let pressed = false;
const waiting: (() => void)[] = [];

/** Does something now, or, while a pointer is down, once it is up and before the click that it makes. */
export function afterPress(run: () => void): void {
  if (pressed) waiting.push(run);
  else run();
}

/** Watches the pointer of a window. */
export function watchPresses(target: Window): void {
  const up = () => {
    pressed = false;
    for (const run of waiting.splice(0)) run();
  };
  target.addEventListener(
    "pointerdown",
    () => {
      pressed = true;
    },
    true,
  );
  target.addEventListener("pointerup", up, true);
  target.addEventListener("pointercancel", up, true);
  target.addEventListener("blur", up);
}
