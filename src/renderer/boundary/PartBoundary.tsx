import { Component, type ReactNode } from "react";

const LONGEST = 300; // characters of an error's own words

interface PartBoundaryProps {
  /** What the person calls this part, as it stands at the beginning of a sentence. */
  readonly name: string;
  /** What the part is drawn from: once that is another, the part is tried again. */
  readonly drawnFrom?: unknown;
  readonly children: ReactNode;
}

interface PartBoundaryState {
  readonly words: string | null;
}

/**
 * Keeps the rest of the window when one part of it cannot be drawn: React takes the whole page away where
 * nothing catches the error. In the part's place stands what happened, and a press that tries it again.
 */
export class PartBoundary extends Component<PartBoundaryProps, PartBoundaryState> {
  override state: PartBoundaryState = { words: null };

  static getDerivedStateFromError(error: unknown): PartBoundaryState {
    const words = error instanceof Error ? error.message : String(error);
    return { words: words.length > LONGEST ? `${words.slice(0, LONGEST)} …` : words };
  }

  override componentDidUpdate(before: PartBoundaryProps): void {
    if (this.state.words !== null && before.drawnFrom !== this.props.drawnFrom) this.#again();
  }

  override render(): ReactNode {
    const { words } = this.state;
    if (words === null) return this.props.children;
    return (
      <div className="notice danger part-failed" role="alert">
        <span>
          {this.props.name} cannot be shown: an error inside Loftmark ({words}).
        </span>{" "}
        <span className="remedy">
          The session is kept. If it comes again, reload the page, and report it with these words.
        </span>{" "}
        <button type="button" onClick={() => this.#again()}>
          Show it again
        </button>
      </div>
    );
  }

  #again(): void {
    this.setState({ words: null });
  }
}
