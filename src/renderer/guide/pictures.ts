const found: Readonly<Record<string, string>> = import.meta.glob("../../../docs/pictures/*.png", {
  query: "?url",
  import: "default",
  eager: true,
});

/** Address of each picture of the guide, by the name that its text gives: "pictures/strip.png". */
export const PICTURES: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(found).map(([path, address]) => [path.replace(/^.*\/docs\//, ""), address]),
);
