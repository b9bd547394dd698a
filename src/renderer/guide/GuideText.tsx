import type { Token, Tokens } from "marked";
import { createContext, type ReactNode, useContext } from "react";
import { isWordTable, partId } from "./guide-parts.ts";

/** Where links of the text lead, and where its pictures lie. */
export const GuideGo = createContext<{
  readonly go: (title: string) => void;
  readonly pictures: Readonly<Record<string, string>>;
}>({ go: () => {}, pictures: {} });

/**
 * Text of the guide, from its tokens: what the guide is written in, and no other markup. HTML in it is left
 * out, a picture is shown only if it came with the program.
 */
export function GuideText({ tokens }: { readonly tokens: readonly Token[] }): ReactNode {
  // The tokens of a text that does not change: their place is what tells them apart.
  // biome-ignore lint/suspicious/noArrayIndexKey: as above
  return tokens.map((token, i) => <GuideToken key={i} token={token} />);
}

function GuideToken({ token }: { readonly token: Token }): ReactNode {
  const inner = <GuideText tokens={("tokens" in token ? token.tokens : undefined) ?? []} />;
  switch (token.type) {
    case "paragraph":
      return <p>{inner}</p>;
    case "list":
      return <GuideList list={token as Tokens.List} />;
    case "table":
      return <GuideTable table={token as Tokens.Table} />;
    case "code":
      return (
        <pre>
          <code>{token.text}</code>
        </pre>
      );
    case "strong":
      return <strong>{inner}</strong>;
    case "em":
      return <em>{inner}</em>;
    case "codespan":
      return <code>{plain(token.text)}</code>;
    case "link":
      return <GuideLink to={token.href}>{inner}</GuideLink>;
    case "image":
      return <GuidePicture of={token.href} words={token.text} />;
    case "text":
      return token.tokens === undefined ? plain(token.text) : inner;
    case "escape":
      return plain(token.text);
    default:
      return null;
  }
}

/** Leads to another part; a link to a document that does not lie beside the window is only its words. */
function GuideLink({ to, children }: { readonly to: string; readonly children: ReactNode }) {
  const { go } = useContext(GuideGo);
  if (!to.startsWith("#")) return children;
  return (
    <button type="button" className="quiet inline" onClick={() => go(to.slice(1))}>
      {children}
    </button>
  );
}

function GuidePicture({ of, words }: { readonly of: string; readonly words: string }) {
  const source = useContext(GuideGo).pictures[of];
  return source === undefined ? null : <img src={source} alt={words} />;
}

function GuideList({ list }: { readonly list: Tokens.List }): ReactNode {
  const items = list.items.map(({ tokens }, i) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: the items of a text that does not change
    <li key={i}>
      <GuideText tokens={tokens} />
    </li>
  ));
  return list.ordered ? <ol>{items}</ol> : <ul>{items}</ul>;
}

function GuideTable({ table }: { readonly table: Tokens.Table }): ReactNode {
  const { header, rows } = table;
  const placed = isWordTable(table);
  return (
    <div className="guide-table">
      <table>
        <thead>
          <tr>
            {header.map(({ text, tokens }) => (
              <th key={text} scope="col">
                <GuideText tokens={tokens} />
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr
              key={row.map(({ text }) => text).join("|")}
              {...(placed && { id: partId(row[0]?.text.split(", ")[0] ?? ""), tabIndex: -1 })}
            >
              {row.map(({ text, tokens }, i) => (
                <td key={header[i]?.text ?? text}>
                  <GuideText tokens={tokens} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const NAMED: Readonly<Record<string, string>> = {
  "&amp;": "&",
  "&lt;": "<",
  "&gt;": ">",
  "&quot;": '"',
  "&#39;": "'",
};

/** The text itself, where the lexer gives it as it would stand in HTML. */
function plain(text: string): string {
  return text.replace(/&(?:amp|lt|gt|quot|#39);/g, (name) => NAMED[name] ?? name);
}
