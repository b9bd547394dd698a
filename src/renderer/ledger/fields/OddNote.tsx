/**
 * Beside a field: the number in it is odd enough to ask, and may stand. The words carry it,
 * the bar only helps the eye.
 */
export function OddNote({ id, text }: { readonly id: string; readonly text: string | null }) {
  if (text === null) return null;
  return (
    <p className="field-odd" id={id} role="status">
      {text}
    </p>
  );
}
