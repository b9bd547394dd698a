export const SEEN: string;
export function markFunctions(file: string, source: string): string;
export function functionAround(file: string, source: string): (position: number) => string;
