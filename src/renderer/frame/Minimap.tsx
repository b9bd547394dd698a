import { useLayoutEffect, useRef } from "react";
import { useTools } from "../actions/app-context.ts";
import { useStore } from "../store/store.ts";
import type { Picture } from "./pictures.ts";

const WIDTH = 150; // css px

/**
 * The whole picture, small, with what of it is in view; a press shows that place. Only while part is hidden.
 */
export function Minimap({ picture: shown }: { readonly picture: Picture | null }) {
  const { viewportControl } = useTools();
  const { view, viewport, picture, fits } = useStore(viewportControl.store, (s) => s);
  const canvas = useRef<HTMLCanvasElement>(null);
  const { scale, x, y } = viewport;
  const hidden =
    fits || (picture.width * scale <= view.width + 1 && picture.height * scale <= view.height + 1);
  const height = Math.round((WIDTH * picture.height) / picture.width);
  useLayoutEffect(() => {
    const context = canvas.current?.getContext("2d");
    if (hidden || shown === null || context == null) return;
    context.drawImage(shown.image, 0, 0, WIDTH, height);
  }, [hidden, shown, height]);
  if (hidden) return null;
  const px = WIDTH / picture.width;
  const box = {
    left: Math.max(0, (-x / scale) * px),
    top: Math.max(0, (-y / scale) * px),
    width: Math.min(WIDTH, (view.width / scale) * px),
    height: Math.min(height, (view.height / scale) * px),
  };
  const show = (event: React.PointerEvent) => {
    event.stopPropagation();
    const on = event.currentTarget.getBoundingClientRect();
    const at = [(event.clientX - on.left) / px, (event.clientY - on.top) / px] as const;
    viewportControl.panBy(view.width / 2 - (at[0] * scale + x), view.height / 2 - (at[1] * scale + y));
  };
  return (
    <div
      className="minimap"
      aria-hidden="true"
      style={{ width: WIDTH, height }}
      onPointerDown={show}
      onPointerMove={(event) => {
        event.stopPropagation();
        if (event.buttons === 1) show(event);
      }}
    >
      <canvas ref={canvas} width={WIDTH} height={height} />
      <div className="minimap-view" style={box} />
    </div>
  );
}
