import { useMemo } from "react";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import type { Stack } from "../../shared/figures/stack.ts";
import { useTools } from "../actions/app-context.ts";
import { Worded } from "../guide/Worded.tsx";
import { useStore } from "../store/store.ts";

/** A figure that is looked at only, in the window's colours, with its caption. */
export function PlainFigure({ figure }: { readonly figure: Stack }) {
  const { theme } = useStore(useTools().theme.store, (s) => s);
  const svg = useMemo(
    () => figureSvg(figure, { theme, width: 400, height: 230, fontFamily: "Inter, sans-serif" }),
    [figure, theme],
  );
  return (
    <figure className="figure">
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own figure, its texts escaped where it is made */}
      <div dangerouslySetInnerHTML={{ __html: svg }} />
      <figcaption>
        <Worded text={figure.caption} />
      </figcaption>
    </figure>
  );
}
