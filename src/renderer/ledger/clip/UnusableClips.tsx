import { useAppState } from "../../actions/app-context.ts";

/** The videos of the folder that cannot be used as they lie there, each with why and what to do. */
export function UnusableClips() {
  const clips = useAppState((s) => s.clips);
  const unusable = clips.flatMap(({ name, fault }) => (fault === undefined ? [] : [{ name, fault }]));
  if (unusable.length === 0) return null;
  return (
    <ul className="notices" aria-label="Clips that cannot be used">
      {unusable.map(({ name, fault }) => (
        <li key={name} className="notice note">
          <span>{fault.cause}</span> <span className="remedy">{fault.remedy}</span>
        </li>
      ))}
    </ul>
  );
}
