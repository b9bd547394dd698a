/** What systems put into any folder without being asked, of no worth to anybody. */
export function isSystemFile(name: string): boolean {
  return /^(\._.*|\.DS_Store|desktop\.ini|Thumbs\.db)$/i.test(name);
}
