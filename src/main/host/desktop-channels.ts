/**
 * Names of what passes between the preload and the desktop host. No imports: the sandboxed
 * preload bundles this file.
 */
export const PICK_FOLDER = "loftmark:pick-folder";
export const SHOW_FOLDER = "loftmark:show-folder";
export const SAVE_PDF = "loftmark:save-pdf";
/** The host asks the page to finish its saves; with the number of the question. */
export const FINISH_SAVES = "loftmark:finish-saves";
/** The page's answer: the number of the question, and why something is left unsaved, or null. */
export const SAVES_FINISHED = "loftmark:saves-finished";
