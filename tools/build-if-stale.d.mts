export function buildIfStale(say?: (line: string) => void): boolean;
export function isStale(): boolean;
