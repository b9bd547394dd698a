/** Names of what the preload may ask of the desktop host. No imports: the sandboxed preload bundles this file. */
export const PICK_FOLDER = "loftmark:pick-folder";
export const SHOW_FOLDER = "loftmark:show-folder";
export const SAVE_PDF = "loftmark:save-pdf";
