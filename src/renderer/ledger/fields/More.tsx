import type { ReactNode } from "react";

export interface MoreProps {
  /** What is folded away, in a word or two. */
  readonly title: string;
  /** What is known there, so that one need not open it to see; nothing when there is nothing. */
  readonly says?: string | undefined;
  readonly children: ReactNode;
}

/** What is needed now and then, folded away under its heading. */
export function More({ title, says, children }: MoreProps) {
  return (
    <details className="more">
      <summary>
        <span className="more-title">{title}</span>
        {says === undefined ? null : <span className="more-says">{says}</span>}
      </summary>
      <div className="more-body">{children}</div>
    </details>
  );
}
