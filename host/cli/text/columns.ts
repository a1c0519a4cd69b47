/** Text in columns, two spaces apart. */
export function columns(titles: readonly string[], rows: readonly (readonly string[])[]): readonly string[] {
  const all = [titles, ...rows];
  const widths = titles.map((_, i) => Math.max(...all.map((row) => row[i]?.length ?? 0)));
  return all.map((row) =>
    row
      .map((cell, i) => cell.padEnd(widths[i] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}
