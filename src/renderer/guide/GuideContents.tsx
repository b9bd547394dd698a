import { type GuidePart, partId } from "./guide-parts.ts";

export interface GuideContentsProps {
  /** Those that hold what is sought. */
  readonly parts: readonly GuidePart[];
  readonly sought: string;
  readonly current: string | null;
  readonly onSeek: (sought: string) => void;
  readonly onGo: (title: string) => void;
}

/** The headings of the guide, and a field that leaves only those whose text holds some words. */
export function GuideContents({ parts, sought, current, onSeek, onGo }: GuideContentsProps) {
  return (
    <nav aria-label="Contents of the guide">
      <input
        type="search"
        aria-label="Find in the guide"
        placeholder="Find in the guide"
        value={sought}
        onChange={(event) => onSeek(event.target.value)}
        onKeyDown={(event) => {
          const [first] = parts;
          if (event.key === "Enter" && first !== undefined) onGo(first.title);
        }}
      />
      <p className="guide-found" role="status">
        {sought.trim() === ""
          ? ""
          : parts.length === 0
            ? "No part holds these words."
            : `${parts.length === 1 ? "One part holds" : `${parts.length} parts hold`} these words.`}
      </p>
      {parts.map(({ title, depth }) => (
        <button
          type="button"
          key={title}
          className={`quiet guide-depth-${depth}`}
          aria-current={current !== null && partId(title) === partId(current) ? "location" : undefined}
          onClick={() => onGo(title)}
        >
          {title}
        </button>
      ))}
    </nav>
  );
}
