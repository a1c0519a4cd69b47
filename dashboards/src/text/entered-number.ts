/** A number that somebody typed, with a comma or a point. @returns null for nothing; undefined for what is no number */
export function enteredNumber(text: string): number | null | undefined {
  const trimmed = text.trim().replace(',', '.').replace('\u2212', '-');
  if (trimmed === '') return null;
  return /^-?(\d{1,9}(\.\d{0,6})?|\.\d{1,6})$/.test(trimmed) ? Number(trimmed) : undefined;
}
