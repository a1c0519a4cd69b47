/**
 * The known word nearest to a misspelt one, by the number of letters to change, add or drop.
 * @param stepsMax  how many at most; a third of the letters in any case
 * @returns undefined where none is near enough to be meant
 */
export function nearest(word: string, known: readonly string[], stepsMax = Number.POSITIVE_INFINITY): string | undefined {
  const scored = known
    .map((candidate) => ({ candidate, steps: editSteps(word.toLowerCase(), candidate.toLowerCase()) }))
    .filter(({ candidate, steps }) => steps <= Math.min(stepsMax, Math.max(1, Math.floor(Math.max(word.length, candidate.length) / 3))));
  return scored.sort((a, b) => a.steps - b.steps)[0]?.candidate;
}

/** Levenshtein distance; words here are short, longer ones are cut. */
function editSteps(from: string, to: string): number {
  let previous = Array.from({ length: to.length + 1 }, (_, i) => i);
  for (const [i, letter] of [...from.slice(0, 64)].entries()) {
    const row = [i + 1];
    for (let j = 1; j <= to.length; j++) {
      const change = (previous[j - 1] ?? 0) + (to[j - 1] === letter ? 0 : 1);
      row.push(Math.min(change, (previous[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1));
    }
    previous = row;
  }
  return previous.at(-1) ?? 0;
}
