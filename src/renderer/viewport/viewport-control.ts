import { createStore } from "../store/store.ts";
import {
  type Extent,
  fitted,
  type Place,
  panned,
  revealed,
  type Viewport,
  ZOOM_STEP,
  zoomedAt,
} from "./viewport.ts";

export interface ViewportState {
  readonly view: Extent;
  readonly picture: Extent;
  readonly viewport: Viewport;
  /** The whole picture is shown and stays so when the view changes size. */
  readonly fits: boolean;
  /** A picture has been shown; what only decorates may now ask for frames too. */
  readonly shown: boolean;
}

/** Where the picture lies in the frame; not part of the document. */
export type ViewportControl = ReturnType<typeof createViewportControl>;

export function createViewportControl() {
  const store = createStore<ViewportState>({
    view: { width: 0, height: 0 },
    picture: { width: 1, height: 1 },
    viewport: { scale: 1, x: 0, y: 0 },
    fits: true,
    shown: false,
  });
  const put = (part: Partial<ViewportState>) => store.set({ ...store.get(), ...part });

  function showWhole(): void {
    const { view, picture } = store.get();
    put({ viewport: fitted(view, picture), fits: true });
  }

  function zoomBy(factor: number, at?: Place): void {
    const { view, picture, viewport } = store.get();
    const centre: Place = [view.width / 2, view.height / 2];
    put({ viewport: zoomedAt(viewport, factor, at ?? centre, view, picture), fits: false });
  }

  return {
    store,
    showWhole,
    zoomBy,
    zoomStep: (by: number, at?: Place) => zoomBy(ZOOM_STEP ** by, at),
    resize(view: Extent): void {
      const before = store.get();
      put({ view });
      if (before.fits) {
        showWhole();
        return;
      }
      // The middle of the view stays the middle.
      const dx = (view.width - before.view.width) / 2;
      const dy = (view.height - before.view.height) / 2;
      put({ viewport: panned(before.viewport, dx, dy, view, before.picture) });
    },
    show(picture: Extent): void {
      const before = store.get().picture;
      if (picture.width === before.width && picture.height === before.height) return;
      put({ picture });
      showWhole();
    },
    firstPicture(): void {
      if (!store.get().shown) put({ shown: true });
    },
    panBy(dx: number, dy: number): void {
      const { view, picture, viewport } = store.get();
      put({ viewport: panned(viewport, dx, dy, view, picture), fits: false });
    },
    reveal(place: Place, margin: number): void {
      const { view, viewport } = store.get();
      const next = revealed(viewport, place, view, margin);
      if (next !== viewport) put({ viewport: next, fits: false });
    },
  };
}
