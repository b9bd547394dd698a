import type { AppState } from "../app-state/app-state.ts";
import {
  type CurvesView,
  type DayView,
  type Face,
  nextOrder,
  type PicturesView,
  type PointsView,
  toggled,
} from "../app-state/day-view.ts";
import type { Store } from "../store/store.ts";

/** What changes the face of the window, and how the day is looked at. */
export function createDayActions(store: Store<AppState>) {
  const get = store.get;
  const view = (part: Partial<DayView>) => store.set({ ...get(), day: { ...get().day, ...part } });
  const pictures = (part: Partial<PicturesView>) => view({ pictures: { ...get().day.pictures, ...part } });
  return {
    showFace(face: Face) {
      store.set({ ...get(), face, large: null, playing: false });
      if (get().day.pictures.playing) pictures({ playing: false });
    },
    /** Opens a figure over the frame's place, by its id; null closes it. */
    showLarge: (large: string | null) => store.set({ ...get(), large }),
    /** Opens the guide at a heading or a word that it explains, by its name; null closes it. */
    showGuide: (guide: string | null) => store.set({ ...get(), guide }),
    filterDay: (filter: string) => view({ filter }),
    orderDay: (by: string) => view({ order: nextOrder(get().day.order, by) }),
    toggleColumn: (id: string) => view({ hidden: toggled(get().day.hidden, id) }),
    showElsewhere: (elsewhere: boolean) => view({ elsewhere }),
    drawCurves: (part: Partial<CurvesView>) => view({ curves: { ...get().day.curves, ...part } }),
    drawPoints: (part: Partial<PointsView>) => view({ points: { ...get().day.points, ...part } }),
    /** Another choice of pictures stops them. */
    showPictures: (part: Partial<Omit<PicturesView, "atS" | "playing" | "share">>) =>
      pictures({ ...part, playing: false }),
    /** Goes to a time of the pictures, s from the instant they are counted from. */
    picturesAt: (atS: number) => pictures({ atS }),
    /** How much of the second picture is seen, 0 to 1; it plays on. */
    sharePictures: (share: number) => pictures({ share }),
    playPictures: (playing: boolean) => pictures({ playing }),
    toggleChosen: (shotId: string) => view({ chosen: toggled(get().day.chosen, shotId) }),
    chooseAll: (shotIds: readonly string[]) => view({ chosen: shotIds }),
  };
}
